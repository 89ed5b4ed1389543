//! An end that she asks for while the program is at work: Ctrl-C, or a signal to end.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::{io, process, thread};

/// What she ends it by, listened to from now on: Ctrl-C, or a signal to end. It is set up before anything
/// is shown or begun, so that an end that comes at once is a whole end too.
pub(crate) struct End {
    #[cfg(unix)]
    signals: [tokio::signal::unix::Signal; 2],
    #[cfg(windows)]
    key: tokio::signal::windows::CtrlC,
}

impl End {
    #[cfg(unix)]
    pub(crate) fn listened_for() -> io::Result<Self> {
        use tokio::signal::unix::{SignalKind, signal};
        let signals = [
            signal(SignalKind::interrupt())?,
            signal(SignalKind::terminate())?,
        ];
        Ok(Self { signals })
    }

    #[cfg(windows)]
    pub(crate) fn listened_for() -> io::Result<Self> {
        let key = tokio::signal::windows::ctrl_c()?;
        Ok(Self { key })
    }

    /// Comes back when she ends it.
    pub(crate) async fn comes(&mut self) {
        #[cfg(unix)]
        {
            let [key, end] = &mut self.signals;
            tokio::select! {
                _ = key.recv() => {}
                _ = end.recv() => {}
            }
        }
        #[cfg(windows)]
        self.key.recv().await;
    }
}

/// What a shell says of a program that Ctrl-C ended.
const CUT_OFF: i32 = 130;

/// An end that is asked for once and not yet come: what is at work finishes early with the best it has. Asked
/// for again, all ends at once.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ending(Arc<AtomicBool>);

impl Ending {
    /// Listens from now on. Where this computer doesn't let it, an end is what it is without: at once.
    pub(crate) fn listened_for() -> Self {
        let this = Self::default();
        let asked = Arc::clone(&this.0);
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_io()
            .build();
        let Ok(runtime) = runtime else {
            return this;
        };
        let end = {
            let _inside = runtime.enter();
            End::listened_for()
        };
        let Ok(mut end) = end else {
            return this;
        };
        // Without that thread nobody would hear her; then the program is better ended from outside.
        let _ = thread::Builder::new().spawn(move || {
            runtime.block_on(async {
                end.comes().await;
                asked.store(true, Ordering::Relaxed);
                end.comes().await;
                process::exit(CUT_OFF);
            });
        });
        this
    }

    /// Whether she asked for it.
    pub(crate) fn asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}
