//! All writing of files. What is there is never touched: a plan gets a folder of its own with the next
//! number, written aside and renamed when it is whole, so that at any moment, whatever fails, the job
//! folder holds either all of a plan or nothing of it.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::cli::fault::Fault;
use crate::cli::interrupt::Interrupt;

/// In a plan that has no name yet, what is to become `latest`.
const NEXT: &str = ".latest";

/// A place for the next plan of a job folder, taken before the long work so that a folder that cannot be
/// written says so at once. Dropped without [`Berth::fill`], it leaves no trace.
pub(super) struct Berth<'a> {
    plans: PathBuf,
    number: u32,
    aside: PathBuf,
    interrupt: &'a Interrupt,
    made_plans: bool,
}

impl<'a> Berth<'a> {
    /// Takes the next free number in `job/plan/`, making that folder if need be.
    ///
    /// # Errors
    /// The folder cannot be read or written.
    pub(super) fn take(job: &Path, interrupt: &'a Interrupt) -> Result<Self, Fault> {
        let plans = job.join("plan");
        let made_plans = match fs::create_dir(&plans) {
            Ok(()) => true,
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && plans.is_dir() => false,
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                return Err(Fault::system("write to", &plans, io::ErrorKind::NotADirectory.into()));
            }
            Err(error) => return Err(Fault::system("make", &plans, error)),
        };
        let mut number = last_number(&plans)? + 1;
        // The folder aside is made by one system call that fails if it is there, so two runs at the same time
        // cannot both believe that they have the number.
        let aside = loop {
            let aside = plans.join(format!(".{number:03}.tmp"));
            match fs::create_dir(&aside) {
                Ok(()) if named(&plans, number).exists() => {
                    // Another run has given its plan this number since the folder was listed.
                    drop(fs::remove_dir(&aside));
                    number += 1;
                }
                Ok(()) => break aside,
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => number += 1,
                Err(error) => {
                    if made_plans {
                        drop(fs::remove_dir(&plans));
                    }
                    return Err(Fault::system("make", &aside, error));
                }
            }
        };
        interrupt.guard(Some(&aside));
        Ok(Self { plans, number, aside, interrupt, made_plans })
    }

    /// The number of the plan to come, from 1.
    #[must_use]
    pub(super) fn number(&self) -> u32 {
        self.number
    }

    /// Writes the files of the plan and gives the folder its name; returns that folder.
    ///
    /// # Errors
    /// A file cannot be written, or a name not be given; then nothing of the plan stays.
    pub(super) fn fill(self, files: &[(&str, String)]) -> Result<PathBuf, Fault> {
        for (name, text) in files {
            write_new(&self.aside.join(name), text)?;
        }
        // What is to become `latest` is written before the plan has a name: a full disk is found out in time.
        write_new(&self.aside.join(NEXT), &format!("{:03}\n", self.number))?;
        settle(&self.aside)?;
        let home = named(&self.plans, self.number);
        fs::rename(&self.aside, &home).map_err(|error| Fault::system("rename the finished plan to", &home, error))?;
        self.interrupt.guard(None);
        if let Err(fault) = self.point_latest(&home) {
            // Dropped where it was before, it is taken away.
            drop(fs::rename(&home, &self.aside));
            return Err(fault);
        }
        settle(&self.plans)?;
        Ok(home)
    }

    /// Makes `latest` name this plan unless it names a newer one. It is a text file with the number in it, since
    /// links are not to be had on every disk.
    fn point_latest(&self, home: &Path) -> Result<(), Fault> {
        let (latest, next) = (self.plans.join("latest"), home.join(NEXT));
        let named: u32 = fs::read_to_string(&latest).ok().and_then(|text| text.trim().parse().ok()).unwrap_or(0);
        let moved = if named > self.number { fs::remove_file(&next) } else { fs::rename(&next, &latest) };
        moved.map_err(|error| Fault::system("write", &latest, error))
    }
}

impl Drop for Berth<'_> {
    fn drop(&mut self) {
        // After `fill` the folder aside has moved and none of this finds anything.
        drop(fs::remove_dir_all(&self.aside));
        self.interrupt.guard(None);
        if self.made_plans {
            // Fails, as it should, when anything is in it.
            drop(fs::remove_dir(&self.plans));
        }
    }
}

/// Where the plan with this number is.
fn named(plans: &Path, number: u32) -> PathBuf {
    plans.join(format!("{number:03}"))
}

/// The highest number in use. Numbers set aside by a run that was killed are passed over when the next is taken.
fn last_number(plans: &Path) -> Result<u32, Fault> {
    let refused = |error| Fault::system("read", plans, error);
    let mut last = 0;
    for entry in fs::read_dir(plans).map_err(refused)? {
        let name = entry.map_err(refused)?.file_name();
        last = last.max(name.to_str().and_then(|n| n.parse().ok()).unwrap_or(0));
    }
    Ok(last)
}

/// Writes a whole new job folder; the folder must not exist or be empty.
///
/// # Errors
/// There is something in the folder, or it cannot be written; then what was written is taken away again.
pub(super) fn write_job(folder: &Path, files: &[(&str, &str)]) -> Result<(), Fault> {
    let there = folder.exists() || folder.is_symlink();
    if there && !folder.is_dir() {
        return Err(Fault::named("write", folder, "there is a file of that name"));
    }
    if there && fs::read_dir(folder).map_err(|error| Fault::system("read", folder, error))?.next().is_some() {
        return Err(Fault::named("write", folder, "there is something in it already, and nothing is ever overwritten; name a new folder"));
    }
    fs::create_dir_all(folder).map_err(|error| Fault::system("make", folder, error))?;
    let mut written = Vec::new();
    for (name, text) in files {
        let path = folder.join(name);
        if let Err(fault) = write_new(&path, text) {
            for path in written {
                drop(fs::remove_file(path));
            }
            if !there {
                drop(fs::remove_dir(folder));
            }
            return Err(fault);
        }
        written.push(path);
    }
    settle(folder)
}

/// Writes files that must not be there yet into a folder, all or none of them, making the folder if need be.
///
/// # Errors
/// Something of that name is there, or the system refuses; then what was written is taken away again.
pub(super) fn write_set(folder: &Path, files: &[(String, String)]) -> Result<(), Vec<Fault>> {
    let taken: Vec<Fault> = (files.iter().map(|(name, _)| folder.join(name)).filter(|path| path.exists() || path.is_symlink()))
        .map(|path| Fault::named("write", &path, "it is there already, and nothing is ever overwritten; name another folder"))
        .collect();
    if !taken.is_empty() {
        return Err(taken);
    }
    let there = folder.is_dir();
    fs::create_dir_all(folder).map_err(|error| vec![Fault::system("make", folder, error)])?;
    for (count, (name, text)) in files.iter().enumerate() {
        if let Err(fault) = write_new(&folder.join(name), text) {
            for (name, _) in &files[..count] {
                drop(fs::remove_file(folder.join(name)));
            }
            if !there {
                drop(fs::remove_dir(folder));
            }
            return Err(vec![fault]);
        }
    }
    settle(folder).map_err(|fault| vec![fault])
}

/// Writes a file that must not be there yet, down to the disk.
fn write_new(path: &Path, text: &str) -> Result<(), Fault> {
    let refused = |error| Fault::system("write", path, error);
    let mut file = fs::File::create_new(path).map_err(refused)?;
    let done = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    done.map_err(|error| {
        drop(fs::remove_file(path));
        Fault::system("write", path, error)
    })
}

/// Puts `new` in the place of the file at `path`, whose bytes are `old` and the beginning of `new`: nothing that was
/// written is lost, whatever happens.
///
/// # Errors
/// As for [`replace`].
pub(super) fn append(path: &Path, old: &[u8], new: &[u8]) -> Result<(), Fault> {
    if !new.starts_with(old) {
        return Err(Fault::named("write", path, "what is there would not be kept"));
    }
    replace(path, old, new)
}

/// Puts `new` in the place of the file at `path`, whose bytes are `old`: written aside, brought down to the disk and
/// renamed, so that at any moment the file is whole. The file aside is made by a call that fails if it is there, so
/// that two cannot write at the same time and lose what one of them wrote.
///
/// # Errors
/// Somebody else is writing, the file has changed meanwhile, or the system refuses; then `path` is as it was.
pub(super) fn replace(path: &Path, old: &[u8], new: &[u8]) -> Result<(), Fault> {
    let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let aside = path.with_file_name(format!(".{name}.tmp"));
    let refused = |error| Fault::system("write", path, error);
    let mut file = fs::File::create_new(&aside).map_err(|error| {
        if error.kind() == io::ErrorKind::AlreadyExists {
            let words = format!("another run is writing it, or one was stopped in the middle; if none runs, remove {}", aside.display());
            return Fault::named("write", path, words);
        }
        refused(error)
    })?;
    let away = |fault| {
        drop(fs::remove_file(&aside));
        fault
    };
    file.write_all(new).and_then(|()| file.sync_all()).map_err(|error| away(refused(error)))?;
    drop(file);
    let there = match fs::read(path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => Vec::new(),
        Err(error) => return Err(away(refused(error))),
    };
    if there != old {
        return Err(away(Fault::named("write", path, "it was changed meanwhile; do it again")));
    }
    fs::rename(&aside, path).map_err(|error| away(refused(error)))?;
    path.parent().filter(|p| !p.as_os_str().is_empty()).map_or(Ok(()), settle)
}

/// Brings a folder's list of names down to the disk, where the system knows such a thing.
fn settle(folder: &Path) -> Result<(), Fault> {
    if cfg!(unix) {
        fs::File::open(folder).and_then(|f| f.sync_all()).map_err(|error| Fault::system("write", folder, error))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests;
