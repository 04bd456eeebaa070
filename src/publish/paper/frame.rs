//! The frame of a page: margins all round, a head and a foot, and the room between. Millimetres.

use thiserror::Error;

use super::{CHECK_IN, PAPERS, PaperSize, Window};

/// How a page is divided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The paper as it lies.
    pub paper: PaperSize,
    /// White all round.
    pub margin: f64,
    /// The height of the head.
    pub head: f64,
    /// The height of the foot.
    pub foot: f64,
}

/// Why a paper will not do, and what would.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PaperError {
    /// The margins leave nothing.
    #[error(
        "margins of {margin} mm leave nothing of {paper}; a margin of {most} mm at most, or {try_} would do"
    )]
    Margin {
        /// The margin.
        margin: String,
        /// The paper.
        paper: String,
        /// The greatest margin that would do on this paper; 0 where none does.
        most: String,
        /// A paper that would do.
        try_: String,
    },
    /// The check ruler has no room.
    #[error(
        "{paper} with margins of {margin} mm is too narrow for the 6 in check ruler, without which nobody knows whether a sheet is true; {try_} would do"
    )]
    Ruler {
        /// The margin.
        margin: String,
        /// The paper.
        paper: String,
        /// A paper that would do.
        try_: String,
    },
    /// Head and foot leave too little.
    #[error(
        "{paper} with margins of {margin} mm leaves no room for a template beside the check ruler; {try_} would do"
    )]
    Room {
        /// The margin.
        margin: String,
        /// The paper.
        paper: String,
        /// A paper that would do.
        try_: String,
    },
    /// A site sheet has no room.
    #[error(
        "{paper} with margins of {margin} mm is too small for a site sheet with its check ruler and title block; {try_} would do"
    )]
    Sheet {
        /// The margin.
        margin: String,
        /// The paper.
        paper: String,
        /// A paper that would do.
        try_: String,
    },
    /// Too many pages.
    #[error("{what} would take {pages} pages of {paper}, more than {most}; {try_} would do")]
    Pages {
        /// What was to be printed.
        what: String,
        /// How many pages it takes.
        pages: usize,
        /// The paper.
        paper: String,
        /// The most that anyone tapes together.
        most: usize,
        /// A paper that would do.
        try_: String,
    },
}

/// The least room that a part of a true-size drawing is worth a page for, mm.
pub(in crate::publish) const LEAST_ROOM: f64 = 60.0;

fn number(mm: f64) -> String {
    let text = format!("{mm:.1}");
    text.trim_end_matches(".0").to_owned()
}

impl Frame {
    /// Where the drawing goes.
    #[must_use]
    pub fn room(&self) -> Window {
        Window {
            left: self.margin,
            top: self.margin + self.head,
            width: self.paper.width - 2.0 * self.margin,
            height: self.paper.height - 2.0 * self.margin - self.head - self.foot,
        }
    }

    /// The baseline from which the foot goes down, mm below the paper's upper edge.
    #[must_use]
    pub fn foot_top(&self) -> f64 {
        self.paper.height - self.margin - self.foot
    }

    /// The first of the papers by name, from the smallest, with which this would be so.
    pub(in crate::publish) fn would_do(&self, does: impl Fn(&Self) -> bool) -> String {
        let mut papers = PAPERS.to_vec();
        papers.sort_by(|a, b| (a.width * a.height).total_cmp(&(b.width * b.height)));
        let with = |paper: PaperSize| Self { paper, ..*self };
        let named = papers.into_iter().find(|paper| does(&with(*paper)));
        named.map_or_else(
            || "a smaller margin".to_owned(),
            |paper| format!("paper {paper}"),
        )
    }

    /// That margins, ruler and a drawing have room.
    ///
    /// # Errors
    /// [`PaperError`], with what would do.
    pub fn check(&self) -> Result<(), PaperError> {
        let room = self.room();
        let (margin, paper) = (number(self.margin), self.paper.to_string());
        if room.width <= 0.0 || self.paper.height <= 2.0 * self.margin || self.margin < 0.0 {
            let across = (self.paper.width - CHECK_IN * 25.4) / 2.0;
            let down = (self.paper.height - self.head - self.foot - LEAST_ROOM) / 2.0;
            return Err(PaperError::Margin {
                margin,
                paper,
                most: number(across.min(down).max(0.0).floor()),
                try_: self.would_do(Self::does),
            });
        }
        if room.width < CHECK_IN * 25.4 {
            return Err(PaperError::Ruler {
                margin,
                paper,
                try_: self.would_do(Self::does),
            });
        }
        if room.height < LEAST_ROOM {
            return Err(PaperError::Room {
                margin,
                paper,
                try_: self.would_do(Self::does),
            });
        }
        Ok(())
    }

    /// That a drawing which is not to be cut has room, besides.
    ///
    /// # Errors
    /// [`PaperError`], with what would do.
    pub(in crate::publish) fn holds(&self, (width, height): (f64, f64)) -> Result<(), PaperError> {
        self.check()?;
        let holds = |frame: &Self| {
            let room = frame.room();
            frame.does() && room.width >= width && room.height >= height
        };
        if holds(self) {
            return Ok(());
        }
        Err(PaperError::Room {
            margin: number(self.margin),
            paper: self.paper.to_string(),
            try_: self.would_do(holds),
        })
    }

    fn does(&self) -> bool {
        let room = self.room();
        self.margin >= 0.0 && room.width >= CHECK_IN * 25.4 && room.height >= LEAST_ROOM
    }
}
