//! The durable form: facts, their fold into the model, the job file.
