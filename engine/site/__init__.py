"""The place: weather and slab in force, humid air, heat in the patch, set age along a batch's life, openings."""
