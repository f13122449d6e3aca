package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
)

// writeCSV writes a table as RFC 4180 has it, with line feeds.
func writeCSV(w io.Writer, head []string, rows [][]string) error {
	c := csv.NewWriter(w)
	if err := c.Write(head); err != nil {
		return err
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return c.Error()
}

// csvNumber writes v with all its digits; nothing where it is no number.
func csvNumber(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
