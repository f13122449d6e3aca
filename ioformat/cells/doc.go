// Package cells reads tables of delimited text (CSV, RFC 4180) as people and
// instruments really write them, and keeps the position of every cell.
//
// It believes that encoding, delimiter and decimal mark are decided once a
// file, from what stands in it, and that a file which could be read in two
// ways must not be read at all. It decodes UTF-8, UTF-16 with a byte order
// mark and Windows-1252; understands , ; and tab between cells, the decimal
// comma where the delimiter leaves it free, LF, CRLF and CR, # comments, a
// "sep=;" line, a row of units under the header.
//
// What is wrong in a file is a value, a [Fault], that says where, what was
// read, what was expected and what to do. Reading goes on behind a fault, so
// that one run tells all of them. It refuses what isn't text, rows with
// another number of cells than the header, and quotes that never close.
package cells
