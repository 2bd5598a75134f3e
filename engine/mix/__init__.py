"""What a bag says and what follows from it alone: the card, the rate of hardening, retarder, fresh temperature."""
