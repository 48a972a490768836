"""Proof of the fault currents: circuits written by hand, solved by OpenDSS and by ngspice.

Nothing here imports the project. `rows.py` holds the published figures, `network.py` what a circuit
is, `jobs.py` the circuits, each from its job's file, `cases.csv` the places with the device that
must open (worked by hand), `with_sources.csv` faults that network and other sources feed, each
alone and together, `solving.py` the two solvers. `python -m fault_circuits.solving`, run in
`tests`, solves every case and writes `solved.csv` and the figures of `with_sources.csv`.
"""
