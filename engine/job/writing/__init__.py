"""A job file from a form, and a mix card from a bag's label: answers in lines, a frozen form, a TOML table, a text.

Pure: files are read and written by the console's door (`engine/console/written.py`).
"""
