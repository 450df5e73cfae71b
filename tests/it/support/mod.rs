//! Helpers that several test modules share.

<<<<<<< HEAD
pub(crate) mod demo;
=======
pub(crate) mod dice;
>>>>>>> verify
pub(crate) mod job;
