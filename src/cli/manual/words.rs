//! What the man pages say beyond the options: exit statuses, files, examples, cautions.

use crate::publish::DRY_FIT_CAUTION;
use crate::publish::building::PLACING_CAUTION;
use crate::publish::full_size::TEMPLATE_CAUTION;
use crate::publish::parts::PARTS_CAUTION;
use crate::publish::shop::{ANCHOR_CAUTION, SAW_CAUTION};

/// What one page says beyond what the command takes.
pub(super) struct More {
    /// The command's name; the program's own for its page.
    pub(super) name: &'static str,
    /// What the description goes on with, a paragraph each.
    pub(super) says: &'static [&'static str],
    /// Whether lengths are typed or printed.
    pub(super) takes_lengths: bool,
    /// What exit status 0 tells.
    pub(super) clean: &'static str,
    /// What exit status 1 tells, where it may come.
    pub(super) trouble: Option<&'static str>,
    /// Files that are read or written beside the job: a name, and what of it.
    pub(super) files: &'static [(&'static str, &'static str)],
    /// Lines to type, and what they do.
    pub(super) examples: &'static [(&'static str, &'static str)],
    /// What to mind, beside what every page says.
    pub(super) cautions: &'static [&'static str],
}

impl More {
    /// Whether this is the program's own page.
    pub(super) fn is_program(&self) -> bool {
        self.name == "rakewell"
    }

    /// The page's name.
    pub(super) fn page(&self) -> String {
        if self.is_program() {
            self.name.to_owned()
        } else {
            format!("rakewell-{}", self.name)
        }
    }

    /// A command that computes, prints, and ends with 0.
    const PLAIN: Self = Self {
        name: "",
        says: &[],
        takes_lengths: true,
        clean: "It is done.",
        trouble: None,
        files: &[],
        examples: &[],
        cautions: &[],
    };
}

/// How lengths are typed and printed, on every page that has any.
pub(super) const LENGTHS: &str = "Lengths are typed as 10 1/4, 10-1/4\", 3' 2 1/2\", -5/16, 10.25 in, 260 mm or 26 cm. \
     One without a unit is in the job's own; of paper and its margin, in inches. They are printed on \
     the job's tape, + for strong (a hair over the mark) and - for scant. Angles are in degrees. \
     JSON and CSV name the unit with each number.";

/// Where distances are counted from.
pub(super) const FROM: &str = "Distances along a run go level up the flight from the finished face of its first kick, \
     sideways ones level to the left of one going up, from the baluster line, and heights plumb up \
     from the finished lower floor, unless the answer says otherwise.";

/// Files that every command may meet.
pub(super) const FILES: [(&str, &str); 2] = [
    (
        "JOB.ron",
        "The job: text in RON, what was read on site as it was typed and what is to be built. Where no \
         job is named, the shipped demo is worked on, and nothing can be written into it.",
    ),
    (
        ".rakewell-*.tmp",
        "A draft beside a file that is being written: the file takes its name only when all of it is \
         on the disk. One that a killed program left is cleared away by a later writing.",
    ),
];

/// What of the environment is looked at.
pub(super) const AROUND: [(&str, &str); 3] = [
    (
        "DISPLAY",
        "The display that the window opens on. Pictures need none; both need a Vulkan driver, which may \
         be a software driver.",
    ),
    (
        "XDG_STATE_HOME",
        "The folder that holds rakewell/, where the window keeps jobs lately open, its settings and \
         work that was not saved; ~/.local/state if not set.",
    ),
    ("NO_COLOR", "If set, text is printed without colours."),
];

/// What every page ends its cautions with.
pub(super) const MIND: &str = "Rakewell reports what one job file says against a rule pack, which summarises a model \
     code. It certifies nothing and approves nothing: the text adopted where the stair stands governs; \
     ask the building official. It knows no loads: whatever carries one, a stringer first of all, is \
     an engineer's to cut. It is as good as its readings: check a dimension on the stair before cutting \
     what cannot be cut again.";

/// The program's page first, then every command's in the order of its help.
pub(super) static MORE: [More; 20] = [
    More {
        name: "rakewell",
        says: &[
            "A job goes in, a file of what was read in the stairwell and what is to be built; the stair as \
             found, the railing set out on it and a list of troubles come out, each with its size, limit, \
             cause and cures that were tried. Without a command the window opens on the job; where there is \
             no display, or nothing to draw with, what is missing is said and the job inspected instead.",
            "The answer goes to standard output, everything else to standard error.",
        ],
        trouble: Some(
            "Trouble was found at or above the severity that was asked for (inspect), readings that \
             disagree (survey), a limit not kept with the wanted chance (doubt), or an alternative that \
             cannot be built (compare).",
        ),
        clean: "It is done, and no trouble was found.",
        examples: &[
            ("rakewell", "Opens the shipped demo in the window."),
            (
                "rakewell new stair.ron",
                "Writes a job to start from, explained line by line.",
            ),
            ("rakewell stair.ron", "Opens that job in the window."),
        ],
        ..More::PLAIN
    },
    More {
        name: "new",
        says: &[
            "The job is plumb, level and square, and says in its comments what each line is for.",
        ],
        takes_lengths: false,
        examples: &[
            (
                "rakewell new --list",
                "Lists a starter for each kind of stair and railing.",
            ),
            (
                "rakewell new stair.ron --from half-turn",
                "Begins a stair with a half turn.",
            ),
        ],
        ..More::PLAIN
    },
    More {
        name: "inspect",
        says: &[
            "Troubles come worst first, each with its size and limit, what causes it, and cures that were \
             proven by running everything again; then every rule of the job's pack as met, broken, too \
             close to call, or not shown.",
            "Only --apply and --let-stand write into the job, one change each, and keep its comments.",
        ],
        clean: "No trouble at or above --at-least; with --why, --apply and --let-stand: it is done.",
        trouble: Some("Trouble at or above --at-least."),
        files: &[(
            "FILE.pdf, FILE.html",
            "The inspection to print and sign (--sheet).",
        )],
        examples: &[
            ("rakewell inspect stair.ron", "Tells all of it."),
            (
                "rakewell inspect stair.ron --at-least stop",
                "Only what could hurt somebody or be rejected.",
            ),
            (
                "rakewell inspect stair.ron --why gap:N1+B01",
                "Says what one number is made of.",
            ),
            (
                "rakewell inspect stair.ron --sheet report.pdf",
                "The same to print and sign.",
            ),
        ],
        ..More::PLAIN
    },
    More {
        name: "survey",
        says: &[
            "All readings are adjusted together, each with its instrument's uncertainty. A reading that \
             cannot be right is named with what the others make of it.",
        ],
        clean: "The readings agree, and every slip is ruled out or none was found.",
        trouble: Some(
            "A slip is suspected, a reading that nothing checks is far off, or the readings do not settle.",
        ),
        files: &[(
            "wall-NAME.svg",
            "A wall's departure from true (--walls), written into the folder.",
        )],
        examples: &[
            (
                "rakewell survey stair.ron",
                "Slips, doubt, and what to read next.",
            ),
            (
                "rakewell survey stair.ron --walls walls",
                "And a picture of each wall.",
            ),
        ],
        ..More::PLAIN
    },
    More {
        name: "points",
        says: &[
            "The points are thinned to what the wall's shape needs; the job itself is not touched.",
        ],
        files: &[
            (
                "POINTS",
                "PLY (text or binary), or rows of numbers with commas, semicolons, tabs or blanks between.",
            ),
            ("NEW-JOB.ron", "A copy of the job with the readings (--to)."),
        ],
        examples: &[(
            "rakewell points stair.ron --wall W1 --file scan.ply --unit mm --to scanned.ron",
            "Takes wall W1 from a scan in millimetres.",
        )],
        ..More::PLAIN
    },
    More {
        name: "setout",
        examples: &[
            (
                "rakewell setout stair.ron",
                "Newels and notches, rail and its cuts, balusters, gaps, marks.",
            ),
            (
                "rakewell setout stair.ron --fit N1",
                "What to knife for newel N1, and what lies behind.",
            ),
        ],
        cautions: &[DRY_FIT_CAUTION],
        ..More::PLAIN
    },
    More {
        name: "stock",
        says: &[
            "No price or rate is assumed: without a price list, lengths and counts are told alone.",
        ],
        files: &[
            (
                "PRICES.csv",
                "Read: item, length, price, currency (--prices).",
            ),
            (
                "boards-NUMBER-KIND.svg",
                "Every board with its cuts and what is left of it (--boards).",
            ),
        ],
        examples: &[
            (
                "rakewell stock stair.ron --prices prices.csv",
                "What to cut from what, and what it costs.",
            ),
            (
                "rakewell stock stair.ron --boards boards",
                "And a drawing of every board.",
            ),
        ],
        cautions: &[SAW_CAUTION],
        ..More::PLAIN
    },
    More {
        name: "cuts",
        files: &[("FOLDER/*.csv", "Every table for a spreadsheet (--csv).")],
        examples: &[
            (
                "rakewell cuts stair.ron",
                "The cut list, and how each joint is fastened.",
            ),
            (
                "rakewell cuts stair.ron --marks",
                "Running marks from one end, bores, the marking block.",
            ),
        ],
        cautions: &[SAW_CAUTION, ANCHOR_CAUTION],
        ..More::PLAIN
    },
    More {
        name: "parts",
        examples: &[(
            "rakewell parts stair.ron",
            "Volume, centre and length of every part.",
        )],
        cautions: &[PARTS_CAUTION],
        ..More::PLAIN
    },
    More {
        name: "model",
        files: &[("FILE.ifc, FILE.glb", "The model; its ending says which.")],
        examples: &[
            (
                "rakewell model stair.ron --to stair.ifc",
                "For a designer to place.",
            ),
            (
                "rakewell model stair.ron --to stair.glb",
                "To be looked at, each look a variant.",
            ),
        ],
        cautions: &[PLACING_CAUTION],
        ..More::PLAIN
    },
    More {
        name: "page",
        says: &[
            "The page fetches nothing and sends nothing: what the client decides comes back as a file or a text.",
        ],
        takes_lengths: false,
        files: &[("FILE.html", "The page, all in one file.")],
        examples: &[(
            "rakewell page stair.ron --to stair.html",
            "With every alternative and look of the job.",
        )],
        ..More::PLAIN
    },
    More {
        name: "answers",
        takes_lengths: false,
        files: &[(
            "FILE",
            "Read: what the page saved, or the text that it made (--from).",
        )],
        examples: &[
            (
                "rakewell answers stair.ron",
                "What he was asked, and what he decided.",
            ),
            (
                "rakewell answers stair.ron --from answers.txt --tell-only",
                "What would be put into the job.",
            ),
        ],
        ..More::PLAIN
    },
    More {
        name: "compare",
        clean: "Every alternative can be built.",
        trouble: Some("An alternative cannot be built; why is told in its place."),
        examples: &[(
            "rakewell compare stair.ron",
            "The figures that decide, and troubles that come and go.",
        )],
        ..More::PLAIN
    },
    More {
        name: "doubt",
        says: &[
            "Each draw is the whole stair as its readings leave it open and as hand and saw make it, worked to \
             the plan's marks. Ctrl-C ends the draws and tells what they came to.",
        ],
        clean: "Everything keeps its limit with the wanted chance.",
        trouble: Some(
            "Something does not keep its limit with the wanted chance, or no draw was finished.",
        ),
        files: &[(
            "FILE.svg, FILE.pdf",
            "The chart of small errors (--compounding).",
        )],
        examples: &[
            (
                "rakewell doubt stair.ron --draws 2000",
                "The odds of each thing that may fail, and of the whole.",
            ),
            (
                "rakewell doubt stair.ron --safe --chance 95%",
                "And which settings would be safe.",
            ),
            (
                "rakewell doubt stair.ron --compounding adds-up.svg --per-step 1/16",
                "What a sixteenth on every step comes to.",
            ),
        ],
        cautions: &[
            "A chance holds for what the readings and the tolerances of the job say, and for nothing that neither knows of.",
        ],
        ..More::PLAIN
    },
    More {
        name: "picture",
        says: &["It needs no display, and a Vulkan driver, which may be a software driver."],
        files: &[(
            "FILE.png",
            "The picture; a PDF with --sheet, a folder with --turn, where so named.",
        )],
        examples: &[
            (
                "rakewell picture stair.ron --to stair.png",
                "Measured and annotated, from the front.",
            ),
            (
                "rakewell picture stair.ron --mood show --view door --to door.png",
                "Finished, from the front door.",
            ),
        ],
        ..More::PLAIN
    },
    More {
        name: "templates",
        files: &[(
            "FOLDER/*.pdf, FOLDER/*.svg",
            "The templates at true size (--to, --svg).",
        )],
        examples: &[
            ("rakewell templates stair.ron", "Lists them."),
            (
                "rakewell templates stair.ron --only N1 --to full-size",
                "Writes those of newel N1.",
            ),
        ],
        cautions: &[TEMPLATE_CAUTION, PRINTED_TRUE],
        ..More::PLAIN
    },
    More {
        name: "pole",
        files: &[("FILE.pdf", "The pole in strips to join (--to).")],
        examples: &[(
            "rakewell pole stair.ron --to pole.pdf --paper a3",
            "Rises, nosings, rail and balusters at true size.",
        )],
        cautions: &[PRINTED_TRUE],
        ..More::PLAIN
    },
    More {
        name: "sheets",
        files: &[(
            "FOLDER/site-sheets.pdf, FOLDER/*.csv",
            "The set, and every table (--to); the model and, with --svg, drawings.",
        )],
        examples: &[
            ("rakewell sheets stair.ron --to on-site", "All of it."),
            (
                "rakewell sheets stair.ron --only cuts,marks --to bench",
                "Two chapters.",
            ),
        ],
        cautions: &[SAW_CAUTION, PRINTED_TRUE],
        ..More::PLAIN
    },
    More {
        name: "survey-sheet",
        takes_lengths: false,
        files: &[("FILE.pdf", "The sheet to fill in.")],
        examples: &[(
            "rakewell survey-sheet stair.ron --to stair.pdf",
            "For the stair of that job.",
        )],
        ..More::PLAIN
    },
    More {
        name: "manual",
        says: &[
            "The files go where a system looks for them below the folder: man pages into share/man/man1, and \
             what bash, zsh and fish complete by into their own folders in share; for PowerShell and Elvish \
             into share/rakewell.",
        ],
        takes_lengths: false,
        files: &[(
            "FOLDER/share/...",
            "What is written, in place of what may be there.",
        )],
        examples: &[(
            "rakewell manual --to ~/.local",
            "Makes `man rakewell` and Tab work for one's own account.",
        )],
        ..More::PLAIN
    },
];

/// What is laid on the wood must be as large as it says.
const PRINTED_TRUE: &str = "Print at 100 %, without fitting to the page, and hold the check ruler of every sheet \
     against a tape before anything is marked from it.";
