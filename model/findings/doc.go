// Package findings judges a fit: readings that the others contradict, parts and known
// values that the readings contradict, the one mistake that would explain a log, patterns
// in the residuals, coils that can't be, and gaps: what the readings leave open, each with
// what would close it. Findings are values; no text is written here.
package findings
