//! The authored language: text to a spanned model.
