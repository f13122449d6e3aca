package main

import (
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"os"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
)

// program tells what made a result.
func (c *call) program() *report.Program {
	p := &report.Program{Version: version(), Options: c.given()}
	for _, s := range buildInfo().Settings {
		if s.Key == "vcs.revision" {
			p.Revision = s.Value
		}
	}
	return p
}

// fileOf describes an input of that hash.
func fileOf(name, hash string) report.File {
	f := report.File{Name: quantity.Visible(name), SHA256: hash}
	if info, err := os.Stat(name); err == nil && name != "-" {
		f.Modified = info.ModTime()
	}
	return f
}

// logFile describes a log, with the day that it states.
func logFile(name string, log *benchlog.Log) report.File {
	f := fileOf(name, log.SHA256)
	f.Dated = log.Date()
	return f
}

// hashing is a reader that keeps the hash of what was read.
type hashing struct {
	io.Reader
	sum hash.Hash
}

func newHashing(r io.Reader) *hashing {
	sum := sha256.New()
	return &hashing{io.TeeReader(r, sum), sum}
}

// hash reads the rest, and returns the hash of all in hexadecimal.
func (h *hashing) hash() string {
	io.Copy(io.Discard, h.Reader) // what can't be read isn't hashed
	return hex.EncodeToString(h.sum.Sum(nil))
}
