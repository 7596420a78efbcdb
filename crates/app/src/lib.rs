//! app.
