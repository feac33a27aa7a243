//! Results to drawings and documents.
