//! The compiled plan: types, versioned reading and writing, digest.
