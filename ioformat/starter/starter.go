// Package starter has a log and a coil sheet to fill in: the columns and rows that most
// benches need, with what they mean in comments. All values in them are invented.
package starter

import (
	_ "embed"
	"slices"
	"strings"
)

// Log is a bench log without a reading.
//
//go:embed log.csv
var Log []byte

// Sheet is a coil sheet whose rows are comments still.
//
//go:embed sheet.csv
var Sheet []byte

// Written leaves of the comments of a log, without #, those that somebody wrote: not the
// explanations of Log.
func Written(comments []string) []string {
	var own []string
	for _, line := range strings.Split(string(Log), "\n") {
		if text, found := strings.CutPrefix(line, "#"); found && strings.TrimSpace(text) != "" {
			own = append(own, strings.TrimSpace(text))
		}
	}
	return slices.DeleteFunc(slices.Clone(comments), func(c string) bool { return slices.Contains(own, c) })
}
