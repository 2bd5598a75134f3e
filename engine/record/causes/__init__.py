"""Why a window was missed or an opening late: the day run again with one factor set back to plan at a time."""
