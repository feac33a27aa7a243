"""Makes fixtures/metrics_points.csv and fixtures/metrics_expected.csv with scikit-learn.

Run from the package folder: python scripts/metrics_fixture.py
Made with scikit-learn 1.9.1.
"""

import csv
from pathlib import Path

import numpy as np
from sklearn.calibration import calibration_curve
from sklearn.metrics import average_precision_score, brier_score_loss, log_loss, roc_auc_score, roc_curve

rng = np.random.default_rng(20251112)
n = 300
burnt = rng.random(n) < 0.15
# On a grid, so that there are ties, but none on the edge of a bin; some exact zeros and ones.
score = np.clip(np.round(rng.beta(1.2, 6.0, n) + 0.25 * burnt * rng.random(n) * 2, 2) + 0.005, 0.0, 1.0)
score[:3] = [0.0, 1.0, 1.0]

false_alarms, recall, _ = roc_curve(burnt, score, drop_intermediate=False)
found, given = calibration_curve(burnt, score, n_bins=10, strategy="uniform")
counts = np.histogram(score, bins=np.linspace(0.0, 1.0 + 1e-8, 11))[0]
counts = counts[counts > 0]

expected = {
    "auc": roc_auc_score(burnt, score),
    "average_precision": average_precision_score(burnt, score),
    "brier": brier_score_loss(burnt, score),
    "log_loss": log_loss(burnt, np.clip(score, 1e-6, 1 - 1e-6)),
    "false_alarms_90": false_alarms[np.argmax(recall >= 0.9 - 1e-12)],
    "calibration_error_width": float(np.sum(counts * np.abs(found - given)) / n),
}

folder = Path(__file__).parent.parent / "fixtures"
with open(folder / "metrics_points.csv", "w", newline="") as file:
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["score", "burnt"])
    writer.writerows((f"{s:.3f}", int(b)) for s, b in zip(score, burnt))
with open(folder / "metrics_expected.csv", "w", newline="") as file:
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["metric", "value"])
    writer.writerows((name, f"{value:.12f}") for name, value in expected.items())
