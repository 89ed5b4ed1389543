//! The words of the command line, and the help a person reads.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use sheet::words::{LANGUAGES, Words};

/// From a client's measures to a pattern on paper.
#[derive(Debug, Parser)]
#[command(
    name = "ellwand",
    version,
    about = "From a client's measures to a pattern on paper.",
    long_about = "Ellwand drafts skirts and bodices as a pattern drafter does: from a card with a client's\n\
                  measures and a method, which is a way of drafting written down as a page of text.\n\
                  It tells each step, trues the seams and makes the pattern at full size for your printer.",
    after_help = "A first pattern, by a method of your own or one of `ellwand methods`:\n\n  \
                  ellwand make --card anna.toml --method my-skirt.method --out anna\n\n\
                  `ellwand COMMAND --help` says more about each command.",
    disable_help_subcommand = true,
    args_conflicts_with_subcommands = true,
    max_term_width = 100
)]
pub(crate) struct Line {
    /// What to do; without it the workroom opens
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
    #[command(flatten)]
    pub(crate) workroom: Workroom,
}

/// How the workroom is opened: `ellwand` without a command.
#[derive(Debug, Args)]
#[command(next_help_heading = "The workroom, which opens without a command")]
pub(crate) struct Workroom {
    /// Its port on this computer; without it 7643, or the next that is free
    #[arg(long, value_name = "N")]
    pub(crate) port: Option<u16>,
    /// The folder with your clients, orders and methods; without it, your own on this computer
    #[arg(long, value_name = "DIR")]
    pub(crate) data: Option<PathBuf>,
    /// Show the address only, and leave the browser shut
    #[arg(long)]
    pub(crate) no_open: bool,
    /// Open it to phones in the house too, for four hours; with several networks, at which address
    #[arg(
        long,
        value_name = "ADDRESS",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = ""
    )]
    pub(crate) house: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Show the methods at hand: the measures each takes and the choices it offers
    #[command(
        after_help = "Example:\n\n  ellwand methods\n  ellwand methods NAME     one of them, with its choices"
    )]
    Methods(Methods),

    /// Make a pattern: paper to print, a drawing, a picture, and a report
    #[command(
        long_about = "Make a pattern from a card and a method.\n\n\
                      Into the folder of --out go report.json, pattern-a4.pdf, pattern-letter.pdf, pattern-roll.pdf, pattern.svg,\n\
                      pattern.dxf, hand-sheet.pdf and preview.png; with --class, class-sheet.pdf. Print a PDF at 100 %,\n\
                      never \"fit to page\", and measure the test square before you cut. The hand sheet needs no printer\n\
                      for its pattern: it is drawn from its numbers with ruler and curve.",
        after_help = "Examples:\n\n  \
                      ellwand make --card anna.toml --method my-skirt.method --out anna\n  \
                      ellwand make --card anna.toml --method my-skirt.method --set length=\"30 in\" --set lining=no --out anna\n  \
                      ellwand make --cards clients/ --method my-skirt.method --out skirts      everyone in a folder\n  \
                      ellwand make --card anna.toml --method my-skirt.method --correct fitting-2.toml --out anna\n\n\
                      Ends with 0 when the pattern is made, also when there are questions about it; with 2 when\n\
                      something could not be read or written: then nothing is left half made."
    )]
    Make(Make),

    /// Look for what would go wrong, without making paper
    #[command(
        long_about = "Draft a pattern and tell what would go wrong: seams that do not match, what the method asks\n\
                      of its own draft, and what is odd about the card.",
        after_help = "Examples:\n\n  ellwand check --card anna.toml --method my-skirt.method\n  \
                      ellwand check --card anna.toml --method my-skirt.method --cloth crepe.toml\n\n\
                      Ends with 1 when a finding says stop, with 0 when none does, with 2 when something could not be read."
    )]
    Check(Check),

    /// Ask back about a card: slips of the tape or the pen, and what can be reckoned from the rest
    #[command(
        after_help = "Examples:\n\n  ellwand card anna.toml\n  ellwand card --explain \"waist to hip\"     how a measure is taken"
    )]
    Card(Card),

    /// The longest step that a skirt allows, or the girth that a step needs
    #[command(
        long_about = "Reckon the longest step in a skirt of a given girth at one level, or the girth that a step\n\
                      needs there. An estimate: two straight legs, swung from the hip joint. What the card does\n\
                      not hold is reckoned from the rest and named.",
        after_help = "Examples:\n\n  \
                      ellwand step --card anna.toml --girth \"30 in\" --at \"waist to knee\"\n  \
                      ellwand step --card anna.toml --step \"16 in\" --at \"18 in below waist\""
    )]
    Step(Step),

    /// Read a method: what is wrong in it, where, and what to do; or its steps for a card
    #[command(
        long_about = "Read a method and tell everything that is wrong in it, each with its place and what to do.\n\n\
                      FILE is a method of your own; the name of a shipped one works too.",
        after_help = "Examples:\n\n  \
                      ellwand read my-skirt.method\n  \
                      ellwand read my-skirt.method --tidy              the same text, set in order\n  \
                      ellwand read my-skirt.method --steps --card anna.toml\n\n\
                      Ends with 2 when there is something to put right."
    )]
    Read(Read),

    /// Lay pieces on cloth, as short as the time allows: what to buy, and a lay to cut by
    #[command(
        long_about = "Lay the pieces of a pattern on cloth, as short as the time allows, and say what to buy.\n\n\
                      Into the folder of --out go lay.json, lay.svg, lay.pdf (in small, to cut by), lay-full.pdf and\n\
                      lay.plt (at full size, for a roll as wide as the cloth). The amount to buy is the lay and the\n\
                      margin, rounded up once to what the shop sells. Ctrl-C stops the search and keeps the best lay so far.\n\n\
                      FILE.json of --instance holds outlines and the width of the cloth: the open format of benchmark\n\
                      instances, or one of Ellwand's own problems with its rules (fold, pairs, flaws, repeat).",
        after_help = "Examples:\n\n  \
                      ellwand lay --report anna/report.json --cloth crepe.toml --out anna-lay\n  \
                      ellwand lay --report anna/report.json --cloth crepe.toml --cloth lining=habotai.toml --compare --out anna-lay\n  \
                      ellwand lay --order 14 --out lay-14\n  \
                      ellwand lay --instance skirt.json --seconds 10 --out lay.json"
    )]
    Lay(Lay),

    /// List the clients of the workroom
    #[command(
        after_help = "Examples:\n\n  ellwand clients\n  ellwand clients --json       for a program\n\n\
                      Also while the workroom is open; then it lists what was kept up to that moment."
    )]
    Clients(Listed),

    /// List the orders of the workroom, the newest first
    #[command(
        after_help = "Examples:\n\n  ellwand orders\n  ellwand orders --json        for a program\n\n\
                      Also while the workroom is open; then it lists what was kept up to that moment."
    )]
    Orders(Listed),

    /// Make all papers of an order
    #[command(
        long_about = "Make every paper of an order as it stands in the workroom: tiled on A4, Letter and A3, on a roll\n\
                      and on A0, for a plotter, as hand sheet and class sheet, as drawings, and its report.json.\n\n\
                      The version and its papers are kept in the book, as if made on the page. What was made of this\n\
                      version before comes out as it was, byte for byte.",
        after_help = "Example:\n\n  ellwand order 14 --out order-14\n\n\
                      Ends with 0 when the papers are made, also when something about the draft is to be looked at:\n\
                      it is told, and a stop is written down with the version. Ends with 2 when they can't be made;\n\
                      then none is."
    )]
    Order(Order),

    /// Copy everything the workroom keeps into one file
    #[command(
        after_help = "Example:\n\n  ellwand backup /media/stick/workroom.db\n\n\
                      A file of that name is replaced only when the new copy is whole."
    )]
    Backup(Backup),

    /// Put a backup in place of everything the workroom keeps
    #[command(
        long_about = "Put a backup in place of everything the workroom keeps, also on another computer. The file is\n\
                      looked through first, and what was there before is kept as a backup of its own. A client who was\n\
                      erased on this computer stays erased.",
        after_help = "Example:\n\n  ellwand restore /media/stick/workroom.db\n\n\
                      The workroom must be closed. Ends with 2 when the file can't be restored; all is then as before."
    )]
    Restore(Restore),

    /// Write all that is kept about one client into one file
    #[command(
        long_about = "Write all that is kept about one client into one zip file: a page of plain text (JSON) that reads\n\
                      without this program, with her pictures and papers beside it. Another workroom takes it in under\n\
                      Settings.",
        after_help = "Examples:\n\n  ellwand export 7 anna.zip\n  ellwand export \"Anna Lind\" anna.zip"
    )]
    Export(Export),

    /// Write what lets your shell complete the words of this program
    #[command(after_help = "Examples:\n\n  \
                      ellwand completions bash > ~/.local/share/bash-completion/completions/ellwand\n  \
                      ellwand completions fish > ~/.config/fish/completions/ellwand.fish")]
    Completions(Completions),

    /// Write the manual page
    #[command(after_help = "Examples:\n\n  \
                      ellwand man > ellwand.1\n  \
                      ellwand man make > ellwand-make.1      the page of one command")]
    Man(Man),
}

/// Where the records of the workroom lie.
#[derive(Debug, Args)]
pub(crate) struct Data {
    /// The folder with your clients, orders and methods; without it, your own on this computer
    #[arg(long, value_name = "DIR")]
    pub(crate) data: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Listed {
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) at: Data,
}

#[derive(Debug, Args)]
pub(crate) struct Order {
    /// The order's number, as `ellwand orders` shows it
    #[arg(value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub(crate) number: u32,
    /// The folder to put them in; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) at: Data,
}

#[derive(Debug, Args)]
pub(crate) struct Backup {
    /// The file to make
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) at: Data,
}

#[derive(Debug, Args)]
pub(crate) struct Restore {
    /// The backup
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) at: Data,
}

#[derive(Debug, Args)]
pub(crate) struct Export {
    /// Her number, as `ellwand clients` shows it, or her name
    #[arg(value_name = "CLIENT")]
    pub(crate) client: String,
    /// The file to make
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) at: Data,
}

#[derive(Debug, Args)]
pub(crate) struct Completions {
    /// The shell
    #[arg(value_name = "SHELL")]
    pub(crate) shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(crate) struct Man {
    /// The page of this command; without it, of the whole program
    #[arg(value_name = "COMMAND")]
    pub(crate) command: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Methods {
    /// Only this one
    #[arg(value_name = "METHOD")]
    pub(crate) name: Option<String>,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitWord {
    /// Inches and eighths
    In,
    /// Centimetres and millimetres
    Cm,
}

/// The words of the command line, with a number below zero held to the option before it: what is wrong with
/// `--seed -1` is the number, and there is no option `-1`.
pub(crate) fn held(words: impl IntoIterator<Item = OsString>) -> Vec<OsString> {
    let mut out: Vec<OsString> = Vec::new();
    let mut words = words.into_iter();
    for word in words.by_ref() {
        let all_said = word == "--";
        let below = word
            .to_str()
            .and_then(|w| w.strip_prefix('-'))
            .is_some_and(|w| w.starts_with(|c: char| c.is_ascii_digit() || c == '.'));
        let option = |w: &&mut OsString| {
            let text = w.to_str().unwrap_or_default();
            text.len() > 2 && text.starts_with("--") && !text.contains('=')
        };
        match out.last_mut().filter(option) {
            Some(option) if below => {
                option.push("=");
                option.push(word);
            }
            _ => out.push(word),
        }
        if all_said {
            break;
        }
    }
    out.extend(words);
    out
}

/// The language of what is printed.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Language {
    /// The language of the sheets: en or de; steps, findings and hand sheets stay English
    #[arg(
        id = "language",
        long = "language",
        value_name = "LANGUAGE",
        default_value = "en",
        hide_default_value = true,
        value_parser = language
    )]
    pub(crate) words: &'static Words,
}

/// The words of a language that is named.
fn language(named: &str) -> Result<&'static Words, String> {
    Words::of(named).ok_or_else(|| {
        let known: Vec<String> = LANGUAGES
            .iter()
            .map(|w| format!("{} ({})", w.language, w.own_name))
            .collect();
        format!(
            "There are no sheets in it. There are: {}.",
            known.join(", ")
        )
    })
}

/// What a draft is worked from.
#[derive(Clone, Debug, Args)]
pub(crate) struct Wanted {
    /// How to draft: the name of a shipped method, or the file of your own
    #[arg(long, value_name = "NAME|FILE")]
    pub(crate) method: String,
    /// The cloth it is cut from: then its width, nap, print and weight are looked at too
    #[arg(long, value_name = "CLOTH.toml")]
    pub(crate) cloth: Option<PathBuf>,
    /// Corrections of a fitting, laid over the finished pieces: docs/corrections.md shows such a page
    #[arg(long, value_name = "CORRECTIONS.toml")]
    pub(crate) correct: Option<PathBuf>,
    /// Your own table of allowances, in place of the method's: docs/allowances.md shows such a page
    #[arg(long, value_name = "ALLOWANCES.toml")]
    pub(crate) allowances: Option<PathBuf>,
    /// A toile: 1 in allowed everywhere, or as the table says for a toile; shell only, no facings
    #[arg(long)]
    pub(crate) toile: bool,
    #[command(flatten)]
    pub(crate) ways: Ways,
}

/// The ways in which a draft can be worked.
#[derive(Clone, Debug, Args)]
pub(crate) struct Ways {
    /// Set a choice of the method; say it again for each
    #[arg(long = "set", value_name = "CHOICE=VALUE")]
    pub(crate) set: Vec<String>,
    /// Reckon a missing measure from the others, in place of the method's rule of thumb
    #[arg(long)]
    pub(crate) predict: bool,
    /// Leave the draft as the hand drew it, with its seams not yet matched
    #[arg(long)]
    pub(crate) untrued: bool,
    /// Show lengths in this unit; without it, in the card's own
    #[arg(long, value_name = "in|cm", hide_possible_values = true)]
    pub(crate) unit: Option<UnitWord>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperWord {
    /// 210 by 297 mm
    A4,
    /// 8 1/2 by 11 in
    Letter,
    /// 297 by 420 mm
    A3,
    /// 841 by 1189 mm, the pieces nested
    A0,
    /// A roll, 36 in wide, the pieces nested
    Roll,
    /// A plotter with a roll, 36 in wide
    Plotter,
    /// Every paper of this version
    All,
}

#[derive(Debug, Args)]
pub(crate) struct Make {
    /// The client's card
    #[arg(long, value_name = "CARD.toml", required_unless_present = "cards")]
    pub(crate) card: Option<PathBuf>,
    /// A folder of cards: a pattern for each, in a folder of its own, and a table of them all
    #[arg(long, value_name = "FOLDER", conflicts_with = "card")]
    pub(crate) cards: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) wanted: Wanted,
    /// The folder to put it in; made when it is not there
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// The paper: a4, letter, a3, a0, roll (36 in wide), plotter, or all; without it, A4,
    /// Letter and roll
    #[arg(
        long,
        value_name = "PAPER",
        value_delimiter = ',',
        hide_possible_values = true
    )]
    pub(crate) paper: Vec<PaperWord>,
    /// Make only these files, for example `report.json,pattern.svg`
    #[arg(
        long,
        value_name = "NAME,...",
        value_delimiter = ',',
        conflicts_with = "paper"
    )]
    pub(crate) only: Vec<String>,
    /// Make the class sheet too: the steps with lines in place of the numbers
    #[arg(long)]
    pub(crate) class: bool,
    #[command(flatten)]
    pub(crate) language: Language,
    #[command(flatten)]
    pub(crate) looks: Looks,
}

/// What can be left out of a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum LeaveWord {
    /// The cutting line
    Cutting,
    /// The stitching line
    Stitching,
    /// The grain arrow
    Grain,
    /// Levels, and where to lengthen or shorten
    Levels,
    /// Notches and darts
    Notches,
    /// The words on the pieces
    Words,
    /// The draft under the pieces
    Construction,
}

/// How the pieces are drawn, in every file of the pattern.
#[derive(Clone, Debug, Args)]
pub(crate) struct Looks {
    /// Draw half pieces on the fold at their full width, for cloth that is not folded
    #[arg(long)]
    pub(crate) opened_out: bool,
    /// Leave these out: cutting, stitching, grain, levels, notches, words, construction
    #[arg(
        long,
        value_name = "WHAT,...",
        value_delimiter = ',',
        hide_possible_values = true
    )]
    pub(crate) leave_out: Vec<LeaveWord>,
    /// Show the draft under the pieces: its lines and points; otherwise its layer is there, turned off
    #[arg(long)]
    pub(crate) construction: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// The client's card
    #[arg(long, value_name = "CARD.toml")]
    pub(crate) card: PathBuf,
    #[command(flatten)]
    pub(crate) wanted: Wanted,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Card {
    /// The client's card
    #[arg(value_name = "CARD.toml", required_unless_present = "explain")]
    pub(crate) file: Option<PathBuf>,
    /// Say what a measure is and how it is taken; `all` lists every one
    #[arg(long, value_name = "NAME", conflicts_with_all = ["file", "json"])]
    pub(crate) explain: Option<String>,
    /// A method of your own whose own measures may stand on the card
    #[arg(long, value_name = "NAME|FILE")]
    pub(crate) method: Option<String>,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
    /// Show lengths in this unit; without it, in the card's own
    #[arg(long, value_name = "in|cm", hide_possible_values = true)]
    pub(crate) unit: Option<UnitWord>,
}

#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("asked").required(true).args(["girth", "wanted"]))]
pub(crate) struct Step {
    /// The client's card
    #[arg(long, value_name = "CARD.toml")]
    pub(crate) card: PathBuf,
    /// The girth of the skirt at that level
    #[arg(long, value_name = "LENGTH")]
    pub(crate) girth: Option<String>,
    /// The step she wants, heel to heel
    #[arg(long = "step", value_name = "LENGTH")]
    pub(crate) wanted: Option<String>,
    /// The level: `waist to knee`, or `18 in below waist`
    #[arg(long, value_name = "LEVEL")]
    pub(crate) at: String,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
    /// Show lengths in this unit; without it, in the card's own
    #[arg(long, value_name = "in|cm", hide_possible_values = true)]
    pub(crate) unit: Option<UnitWord>,
}

#[derive(Debug, Args)]
pub(crate) struct Lay {
    /// The file with the pieces and the width
    #[arg(long, value_name = "FILE.json", required_unless_present_any = ["order", "report"])]
    pub(crate) instance: Option<PathBuf>,
    /// Which of the file's cases; without it, the first
    #[arg(long, value_name = "NAME", conflicts_with_all = ["order", "report"])]
    pub(crate) case: Option<String>,
    /// How long to look for a shorter lay
    #[arg(long, value_name = "SECONDS", default_value_t = 10.0)]
    pub(crate) seconds: f64,
    /// How many searches side by side; without it, one for each core
    #[arg(long, value_name = "COUNT")]
    pub(crate) workers: Option<usize>,
    /// Where chance starts: another number may find another lay
    #[arg(long, value_name = "NUMBER", default_value_t = 0)]
    pub(crate) seed: u64,
    /// Count places tried by each worker instead of seconds: the same answer on every run
    #[arg(long, value_name = "COUNT")]
    pub(crate) steps: Option<u64>,
    /// The folder to put the lay in; with --instance, the file
    #[arg(long, value_name = "DIR|LAY.json")]
    pub(crate) out: Option<PathBuf>,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
    /// An order of the workroom, on the cloths that it has there
    #[arg(long, value_name = "NUMBER", conflicts_with = "instance")]
    pub(crate) order: Option<u32>,
    /// With --order: the folder with your clients and orders; without it, your own on this computer
    #[arg(long, value_name = "DIR", requires = "order")]
    pub(crate) data: Option<PathBuf>,
    /// The report of a made pattern
    #[arg(long, value_name = "report.json", conflicts_with_all = ["instance", "order"])]
    pub(crate) report: Option<PathBuf>,
    /// The cloth; for another than the shell, with what it is: lining=FILE. Say it again for each
    #[arg(long, value_name = "CLOTH.toml", conflicts_with = "instance")]
    pub(crate) cloth: Vec<String>,
    /// What is cut from a cloth that is named without it
    #[arg(
        long = "for",
        value_name = "CLOTH",
        default_value = "shell",
        conflicts_with = "instance"
    )]
    pub(crate) part: String,
    /// Lay it in other ways too, and say what each would take: across, flat, one way, other widths
    #[arg(long, conflicts_with = "instance")]
    pub(crate) compare: bool,
    /// What you keep beside the lay: `5 %`, `10 cm`, or both as `5 % + 10 cm`, which is the usual
    #[arg(long, value_name = "MARGIN", conflicts_with = "instance")]
    pub(crate) margin: Option<String>,
    /// What the shop sells by: `1/8 yd`, `1/4 yd`, `1/2 yd`, `10 cm` and others; without it, 1/8 yd or
    /// 10 cm as the pattern's unit is
    #[arg(long, value_name = "STEP", conflicts_with = "instance")]
    pub(crate) sold_by: Option<String>,
    /// How far pieces keep from each other; without it they may touch
    #[arg(long, value_name = "LENGTH", conflicts_with = "instance")]
    pub(crate) gap: Option<String>,
    /// How many degrees a piece may lie off the grain
    #[arg(
        long,
        value_name = "DEGREES",
        default_value_t = 0.0,
        conflicts_with = "instance"
    )]
    pub(crate) tilt: f64,
    /// Pieces may lie at any angle: felt, or cloth without a grain
    #[arg(long, conflicts_with = "instance")]
    pub(crate) any_grain: bool,
    /// Join a piece that is wider than the cloth, in its flare, with so much allowed on both sides
    #[arg(long, value_name = "LENGTH", num_args = 0..=1, default_missing_value = "1/2 in", conflicts_with = "instance")]
    pub(crate) join: Option<String>,
    #[command(flatten)]
    pub(crate) language: Language,
    /// Show lengths in this unit; without it, in the report's own
    #[arg(
        long,
        value_name = "in|cm",
        hide_possible_values = true,
        conflicts_with = "instance"
    )]
    pub(crate) unit: Option<UnitWord>,
}

#[derive(Debug, Args)]
pub(crate) struct Read {
    /// The method
    #[arg(value_name = "FILE.method")]
    pub(crate) file: String,
    /// Answer for a program
    #[arg(long)]
    pub(crate) json: bool,
    /// Print the text tidied: the same meaning, set in order
    #[arg(long, conflicts_with = "steps")]
    pub(crate) tidy: bool,
    /// Tell its steps for a card
    #[arg(long, requires = "card")]
    pub(crate) steps: bool,
    /// The client's card
    #[arg(long, value_name = "CARD.toml")]
    pub(crate) card: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) ways: Ways,
}
