// Command assemble makes the bench page of its parts: engine, Go's own script for it, and
// the page's markup, style and script, in one file that needs no other and no network.
//
//	assemble ENGINE.wasm WASM_EXEC.js PAGE.html
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"os"
	"strings"
)

//go:embed page.html
var markup string

//go:embed page.css
var style string

//go:embed page.js
var script string

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "assemble needs the engine, Go's script for it, and the file to write")
		os.Exit(2)
	}
	if err := assemble(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, "assemble:", err)
		os.Exit(1)
	}
}

func assemble(engine, exec, file string) error {
	program, err := os.ReadFile(engine)
	if err != nil {
		return err
	}
	goScript, err := os.ReadFile(exec)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := w.Write(program); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return err
	}
	all := string(goScript) + script
	page := strings.NewReplacer("{{style}}", style, "{{script}}", all, "{{policy}}", policy(style, all),
		"{{length}}", fmt.Sprint(packed.Len()), "{{engine}}", pack(packed.Bytes())).Replace(markup)
	return os.WriteFile(file, []byte(page), 0o644)
}

// policy allows the page its own style, script and engine, and nothing else.
func policy(style, script string) string {
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return "default-src 'none'; style-src " + hash(style) + "; script-src " + hash(script) + " 'wasm-unsafe-eval'; base-uri 'none'; form-action 'none'"
}

// pack writes 13 bits, the lowest first, in two of the 93 visible characters that are not <: an
// eighth shorter than base 64. There are 457 pairs more than 13 bits need, so that each of the
// lowest 457 values takes one more bit along. What is missing at the end is zeros.
func pack(data []byte) string {
	letters := alphabet()
	spare := len(letters)*len(letters) - 1<<13
	var b strings.Builder
	held, n, pairs := 0, 0, 0
	write := func() {
		v, bits := held&(1<<13-1), 13
		if v < spare {
			v, bits = held&(1<<14-1), 14
		}
		held >>= bits
		n -= bits
		b.WriteByte(letters[v/len(letters)])
		b.WriteByte(letters[v%len(letters)])
		if pairs++; pairs%512 == 0 {
			b.WriteByte('\n')
		}
	}
	for _, c := range data {
		held |= int(c) << n
		if n += 8; n >= 14 {
			write()
		}
	}
	for n > 0 {
		write()
	}
	return b.String()
}

// alphabet returns the 93 characters of pack.
func alphabet() string {
	var b strings.Builder
	for c := byte('!'); c <= '~'; c++ {
		if c != '<' {
			b.WriteByte(c)
		}
	}
	return b.String()
}
