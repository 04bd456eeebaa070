//! The largest ball through an opening, against closed forms, properties and a grid of voxels.

mod again;
mod closed_forms;
mod openings;
mod properties;
mod scenes;
mod voxels;
