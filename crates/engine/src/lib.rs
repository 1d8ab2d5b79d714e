//! The state machine that flies a plan: fix in, changes out.
