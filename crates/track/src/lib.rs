//! GPX in and out, synthetic flights.
