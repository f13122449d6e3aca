// Package starter has a log and a coil sheet to fill in: the columns and rows that most
// benches need, with what they mean in comments. All values in them are invented.
package starter

import _ "embed"

// Log is a bench log without a reading.
//
//go:embed log.csv
var Log []byte

// Sheet is a coil sheet whose rows are comments still.
//
//go:embed sheet.csv
var Sheet []byte
