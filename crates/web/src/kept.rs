//! What is read from the store once, and afresh after each change.

use crate::failure::Failure;
use std::sync::Arc;
use tokio::sync::RwLock;

/// A value that is kept until it is forgotten.
pub(crate) struct Kept<T>(RwLock<Option<Arc<T>>>);

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Kept(RwLock::new(None))
    }
}

impl<T> Kept<T> {
    /// The value; read only where none is kept, and by one request at a time.
    ///
    /// # Errors
    /// The reading fails.
    pub(crate) async fn get(
        &self,
        read: impl Future<Output = Result<T, Failure>>,
    ) -> Result<Arc<T>, Failure> {
        if let Some(kept) = self.0.read().await.as_ref() {
            return Ok(Arc::clone(kept));
        }
        let mut kept = self.0.write().await;
        if let Some(kept) = kept.as_ref() {
            return Ok(Arc::clone(kept));
        }
        let now = Arc::new(read.await?);
        *kept = Some(Arc::clone(&now));
        Ok(now)
    }

    /// Has it read afresh the next time.
    pub(crate) async fn forget(&self) {
        *self.0.write().await = None;
    }
}
