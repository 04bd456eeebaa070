//! Answers read and put into a job.
