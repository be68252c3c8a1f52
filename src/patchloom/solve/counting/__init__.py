"""Proofs by counting that no patch exists.

Comes in: fabric, aims and units.  Goes out: facts; none where counting proves nothing.  Next: `case.py`.

- `reach`: where a leg could get if nothing were full; `bounds`: matching, phantom groups, pools, blocks; `cuts`: flow cuts;
  `graph`: the flow behind them, and the only door to networkx.
"""
