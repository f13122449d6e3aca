// Package recomputed reads, for the tests, the tables that scripts/recompute made from
// docs/mathematics.md with no code in common, and the logs that they are of.
package recomputed

import (
	"encoding/csv"
	"os"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
)

// testdata is seen from a package two folders deep, as all that read tables are.
const testdata = "../../testdata/"

// Table returns the rows of a table below its header.
func Table(t testing.TB, name string) [][]string {
	t.Helper()
	file := must.Get(os.Open(testdata + "recomputed/" + name + ".csv")).In(t)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	return must.Get(r.ReadAll()).In(t)[1:]
}

// Log reads a log of testdata.
func Log(t testing.TB, name string) *benchlog.Log {
	t.Helper()
	file := must.Get(os.Open(testdata + name)).In(t)
	defer file.Close()
	return must.Get(benchlog.Read(file, name, benchlog.Options{})).In(t)
}
