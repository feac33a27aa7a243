//! The one task that writes: what comes in together is committed together, and acknowledged after that.

use crate::append::{Append, Appended, append};
use crate::base::Base;
use crate::database;
use crate::folder::Lock;
use crate::notice::{Ears, Elsewhere, Notice};
use crate::{Change, Error};
use sqlx::{Any, AnyConnection, Connection, Executor};
use std::sync::Arc;
use tokio::sync::{mpsc, oneshot};

/// Requests that may wait; more make their senders wait.
const QUEUE: usize = 1024;
/// Most requests of one commit.
const BATCH: usize = 256;

/// A statement with its values, for what is written beside facts.
#[derive(Debug, Clone)]
pub(crate) struct Statement {
    pub(crate) sql: &'static str,
    pub(crate) values: Vec<Value>,
    /// Rows it must change; otherwise none of the statements of its request is kept.
    pub(crate) must: Option<u64>,
}

/// A value of a statement.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Text(String),
    Number(i64),
}

/// What a request came to.
#[derive(Debug, Clone)]
pub(crate) enum Outcome {
    Appended(Appended),
    /// Written, or not because a statement changed other than the rows it must.
    Written(bool),
}

enum What {
    Append(Append),
    /// With what other programs on the same database must hear of it.
    Statements(Vec<Statement>, Option<Elsewhere>),
}

enum Message {
    Request(Box<What>, oneshot::Sender<Result<Outcome, Error>>),
    Close(oneshot::Sender<()>),
}

/// The way to the task.
#[derive(Debug, Clone)]
pub(crate) struct Writer(mpsc::Sender<Message>);

impl Writer {
    /// Starts the task. It ends when the last sender is gone, and gives the lock back then.
    pub(crate) fn start(
        base: Base,
        connection: AnyConnection,
        pages: Option<i64>,
        lock: Arc<Lock>,
        ears: Ears,
        name: String,
    ) -> Self {
        let (sender, receiver) = mpsc::channel(QUEUE);
        let task = Task { base, connection: Some(connection), pages, _lock: lock, ears, name };
        tokio::spawn(task.run(receiver));
        Writer(sender)
    }

    pub(crate) async fn append(&self, request: Append) -> Result<Appended, Error> {
        match self.ask(What::Append(request)).await? {
            Outcome::Appended(appended) => Ok(appended),
            Outcome::Written(_) => Err(Error::Closed),
        }
    }

    /// Writes all statements in one, or none of them; other programs on the same database hear what is told.
    pub(crate) async fn write(
        &self,
        statements: Vec<Statement>,
        told: Option<Elsewhere>,
    ) -> Result<bool, Error> {
        Ok(matches!(self.ask(What::Statements(statements, told)).await?, Outcome::Written(true)))
    }

    /// Commits what waits and lets the database go.
    pub(crate) async fn close(&self) {
        let (sender, receiver) = oneshot::channel();
        if self.0.send(Message::Close(sender)).await.is_ok() {
            let _ = receiver.await;
        }
    }

    async fn ask(&self, what: What) -> Result<Outcome, Error> {
        let (sender, receiver) = oneshot::channel();
        let message = Message::Request(Box::new(what), sender);
        self.0.send(message).await.map_err(|_| Error::Closed)?;
        receiver.await.map_err(|_| Error::Closed)?
    }
}

struct Task {
    base: Base,
    /// None after a failure, until it is opened afresh.
    connection: Option<AnyConnection>,
    pages: Option<i64>,
    _lock: Arc<Lock>,
    ears: Ears,
    /// By which other programs know who told.
    name: String,
}

impl Task {
    async fn run(mut self, mut receiver: mpsc::Receiver<Message>) {
        let mut messages = Vec::new();
        while 0 < receiver.recv_many(&mut messages, BATCH).await {
            let mut whats = Vec::new();
            let mut answers = Vec::new();
            let mut closing = None;
            for message in messages.drain(..) {
                match message {
                    Message::Request(what, answer) => {
                        whats.push(*what);
                        answers.push(answer);
                    }
                    Message::Close(answer) => closing = Some(answer),
                }
            }
            let began = std::time::Instant::now();
            let outcomes = self.commit(&whats).await;
            self.ears.commits.add(began.elapsed());
            self.tell(&whats, &outcomes);
            for (answer, outcome) in answers.into_iter().zip(outcomes) {
                // Who asked may be gone; what was asked for is stored all the same.
                let _ = answer.send(outcome);
            }
            if let Some(answer) = closing {
                receiver.close();
                if let Some(connection) = self.connection.take() {
                    let _ = connection.close().await;
                }
                let _ = answer.send(());
                return;
            }
        }
        if let Some(connection) = self.connection.take() {
            let _ = connection.close().await;
        }
    }

    /// All in one commit; where that fails, each in one of its own, so that none fails for another's sake.
    async fn commit(&mut self, whats: &[What]) -> Vec<Result<Outcome, Error>> {
        match self.try_commit(whats).await {
            Ok(outcomes) => outcomes,
            Err(error) if whats.len() == 1 => vec![Err(error)],
            Err(_) => {
                let mut outcomes = Vec::new();
                for what in whats {
                    let outcome = self.try_commit(std::slice::from_ref(what)).await;
                    outcomes.push(match outcome.map(|mut one| one.pop()) {
                        Ok(Some(outcome)) => outcome,
                        Ok(None) => Err(Error::Closed),
                        Err(error) => Err(error),
                    });
                }
                outcomes
            }
        }
    }

    async fn try_commit(&mut self, whats: &[What]) -> Result<Vec<Result<Outcome, Error>>, Error> {
        // After a failure the state of a connection is not worth guessing: it is put back only after success.
        let mut connection = match self.connection.take() {
            Some(connection) => connection,
            None => database::writer(&self.base, self.pages).await?,
        };
        if self.base.server.is_some() && connection.ping().await.is_err() {
            // The server was started again meanwhile; nothing was asked of it yet.
            connection = database::writer(&self.base, self.pages).await?;
        }
        let outcomes = transact(&self.base, &self.name, &mut connection, whats).await?;
        self.connection = Some(connection);
        Ok(outcomes)
    }

    fn tell(&self, whats: &[What], outcomes: &[Result<Outcome, Error>]) {
        for (what, outcome) in whats.iter().zip(outcomes) {
            if let Some(Notice::Job(change)) = notice(what, outcome) {
                // Nobody may be listening.
                let _ = self.ears.changes.send(change);
            }
        }
    }
}

/// What there is to tell of a request that was stored.
fn notice(what: &What, outcome: &Result<Outcome, Error>) -> Option<Notice> {
    match (what, outcome) {
        (What::Append(request), Ok(Outcome::Appended(appended))) if !appended.already && 0 < appended.new => {
            Some(Notice::Job(Change { job: request.job.clone(), revision: appended.revision }))
        }
        (What::Statements(_, told), Ok(Outcome::Written(true))) => told.clone().map(Notice::Elsewhere),
        _ => None,
    }
}

async fn transact(
    base: &Base,
    name: &str,
    connection: &mut AnyConnection,
    whats: &[What],
) -> Result<Vec<Result<Outcome, Error>>, Error> {
    let failed = |error| base.error("writing", error);
    let mut transaction = connection.begin().await.map_err(failed)?;
    if base.server.is_some() {
        // One program writes at a time, as with a file: what is asked below holds until the commit.
        database::take_turn(&mut transaction).await.map_err(failed)?;
    }
    let mut outcomes = Vec::new();
    for what in whats {
        outcomes.push(match what {
            What::Append(request) => match append(base, &mut transaction, request).await {
                Ok(appended) => Ok(Outcome::Appended(appended)),
                Err(error) if is_of_the_database(&error) => return Err(error),
                Err(error) => Err(error),
            },
            What::Statements(statements, _) => {
                let written = write(&mut transaction, statements).await.map_err(failed)?;
                Ok(Outcome::Written(written))
            }
        });
    }
    if base.server.is_some() {
        let told = whats.iter().zip(&outcomes).filter_map(|(what, outcome)| notice(what, outcome));
        for notice in told {
            database::tell(&mut transaction, &notice.text(name)).await.map_err(failed)?;
        }
    }
    transaction.commit().await.map_err(failed)?;
    Ok(outcomes)
}

/// Is the transaction done for, or was only the request refused?
fn is_of_the_database(error: &Error) -> bool {
    matches!(
        error,
        Error::Database { .. }
            | Error::DiskFull { .. }
            | Error::ReadOnly { .. }
            | Error::Damaged { .. }
            | Error::Unreachable { .. }
            | Error::ServerFull { .. }
    )
}

async fn write(connection: &mut AnyConnection, statements: &[Statement]) -> Result<bool, sqlx::Error> {
    connection.execute("SAVEPOINT request").await?;
    let mut kept = true;
    for statement in statements {
        let mut query = sqlx::query::<Any>(statement.sql);
        for value in &statement.values {
            query = match value {
                Value::Text(text) => query.bind(text.clone()),
                Value::Number(number) => query.bind(*number),
            };
        }
        let rows = query.execute(&mut *connection).await?.rows_affected();
        if statement.must.is_some_and(|must| must != rows) {
            kept = false;
            break;
        }
    }
    if !kept {
        connection.execute("ROLLBACK TO SAVEPOINT request").await?;
    }
    connection.execute("RELEASE SAVEPOINT request").await?;
    Ok(kept)
}
