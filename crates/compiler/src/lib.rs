//! Names resolved, the planned route flown, the event plan made.
