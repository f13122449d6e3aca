// Package report prints results: as text for people and as JSON for programs.
//
// Both print the same model.Result. Nothing is computed here but the form of a
// number: units, prefixes and digits. What the readings don't determine has no
// number to print; the text says so in its place, and the JSON has
// "determined": false and no value.
package report
