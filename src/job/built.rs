//! The readings of what has been fitted: where it stands, as built. `is` is the value read.
//!
//! What has been fitted stays where it is; what has not been yet is set out around it.

use serde::{Deserialize, Serialize};

use super::Len;
use super::readings::readings;

readings! {
    /// One reading of a part that has been fitted.
    pub enum Built {
        /// The centre of a newel at a height. Read at two heights, it tells the newel's lean.
        Newel {
            /// The newel, by its name.
            name: String,
            /// Level distance up the flight from the face of the first kick.
            x: Len,
            /// Level distance to the left of the baluster line, of one going up.
            y: Len,
            /// Height above what the newel stands on; at its foot if not given.
            #[serde(default)]
            up: Option<Len>,
        }
        /// The top of a newel above what it stands on, along the newel.
        NewelTop {
            /// The newel, by its name.
            name: String,
            /// The reading.
            is: Len,
        }
        /// The centre of a baluster's foot.
        Baluster {
            /// The tread it stands on.
            step: u32,
            /// Which one of that tread, from the bottom, counting from 1, as the plan counts.
            place: u32,
            /// Level distance up the flight from the face of the first kick.
            x: Len,
            /// Level distance to the left of the baluster line; as planned if not given.
            #[serde(default)]
            y: Option<Len>,
            /// The rail that it stands under; the one on the open side if not given.
            #[serde(default)]
            rail: Option<String>,
        }
        /// The height of the rail's top, plumb above a nosing at the baluster line. Read over one
        /// nosing the rail turns about its farther end; over two it lies as read.
        Rail {
            /// The rail, by its name.
            name: String,
            /// The step whose nosing it is read over; the last step is the upper floor.
            nosing: u32,
            /// The reading.
            is: Len,
        }
    }
    with {
        /// The instrument, by its name in the job.
        by: Option<String>,
        /// The standard uncertainty of this reading, where it is not the instrument's.
        sd: Option<Len>,
        /// When it was taken, as written.
        taken: String,
        /// A remark.
        note: String,
    }
}

impl Built {
    /// The same reading with the rail said that it is taken to belong to where none is.
    pub(super) fn under(&self, open: &str) -> Self {
        let mut told = self.clone();
        if let Self::Baluster { rail, .. } = &mut told {
            let _open = rail.get_or_insert_with(|| open.to_owned());
        }
        told
    }
}
