"""What an instructor does with a class: rosters, meetings, hours, drill sets, the board, packs."""
