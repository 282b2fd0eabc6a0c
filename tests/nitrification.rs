//! The nitrification model and its forecast.
//!
//! No published series of readings from a real tank is known to us, so the forecast is tried on
//! tanks drawn from published ranges of parameters; the model itself is checked against published
//! rate laws and independent integrations of them.

#[path = "nitrification/course.rs"]
mod course;
#[path = "nitrification/ensemble.rs"]
mod ensemble;
#[path = "nitrification/published.rs"]
mod published;
#[path = "support/reference.rs"]
mod rows;
#[path = "nitrification/runge_kutta.rs"]
mod runge_kutta;
#[path = "nitrification/tanks.rs"]
mod tanks;
