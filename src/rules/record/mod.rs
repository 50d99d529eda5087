//! The export as a record: its lines, numbers, times and ends.
