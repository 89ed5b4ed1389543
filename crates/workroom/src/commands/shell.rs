//! `ellwand completions` and `ellwand man`: the words of the program for a shell, and as a manual page.

use clap::CommandFactory as _;

use crate::answer::{Answer, calm};
use crate::args::{Completions, Line, Man};

pub(crate) fn completions(asked: &Completions) -> Result<Answer, Vec<String>> {
    let mut text = Vec::new();
    clap_complete::generate(asked.shell, &mut Line::command(), "ellwand", &mut text);
    said(text)
}

pub(crate) fn man(asked: &Man) -> Result<Answer, Vec<String>> {
    let mut whole = Line::command();
    whole.build();
    let wanted = match &asked.command {
        None => whole,
        Some(name) => match whole.find_subcommand(name) {
            Some(command) => command.clone(),
            None => {
                let known: Vec<&str> = whole
                    .get_subcommands()
                    .map(clap::Command::get_name)
                    .collect();
                return Err(vec![format!(
                    "{}: There is no such command. There are {}.",
                    calm(name),
                    known.join(", ")
                )]);
            }
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(wanted)
        .source(concat!("ellwand ", env!("CARGO_PKG_VERSION")))
        .render(&mut text)
        .map_err(|e| vec![format!("The page could not be written ({e}).")])?;
    said(text)
}

fn said(text: Vec<u8>) -> Result<Answer, Vec<String>> {
    String::from_utf8(text)
        .map(Answer::says)
        .map_err(|_| vec!["The page holds a letter that can't be written.".to_owned()])
}
