"""The computation behind the console: no screen, no framework, SI units throughout.

Imports run one way, from `console` down to `units`, `clock`, `sources` and `errors`; a test holds the order.
Times are seconds since 1970 UTC unless a name says otherwise; names carry their unit (`_s`, `_m`, `_c`, `_kg`).
"""

__version__ = "0.1.0"
PROGRAM = f"bagcall {__version__}"
