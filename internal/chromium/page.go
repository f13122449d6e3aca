// Package chromium drives a page of a headless Chromium, for tests of pages.
package chromium

import (
	"bufio"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"
)

// Page is a page of a headless Chromium, driven by the DevTools protocol over
// a pipe: messages of JSON, each ended by a zero byte.
type Page struct {
	T       *testing.T
	to      *os.File
	from    *bufio.Reader
	session string
	last    int
	Events  []Event // since the page was opened
	dead    bool
}

// Event is one that the browser told.
type Event struct {
	Method string
	Params json.RawMessage
}

// Open starts a browser, and skips the test where there is none.
func Open(t *testing.T) *Page {
	t.Helper()
	var program string
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			program = path
			break
		}
	}
	if program == "" || runtime.GOOS == "windows" {
		t.Skip("no Chromium here to try the page in")
	}
	var b *Page
	for try := 1; b == nil; try++ {
		if b = launch(t, program); b == nil && try == 3 {
			t.Skip("Chromium is here, but does not start")
		}
	}
	var target struct{ TargetID string }
	b.Call("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	var attached struct{ SessionID string }
	b.Call("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &attached)
	b.session = attached.SessionID
	for _, domain := range []string{"Page", "Runtime", "Log", "Network"} {
		b.Call(domain+".enable", nil, nil)
	}
	return b
}

// launch starts the browser and waits for a word from it; nil when it died instead,
// as it does now and then on a busy machine.
func launch(t *testing.T, program string) *Page {
	t.Helper()
	profile, err := os.MkdirTemp("", "page-test-*")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(profile) })
	theirIn, to, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	from, theirOut, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage",
		"--user-data-dir="+profile, "--remote-debugging-pipe", "about:blank")
	cmd.ExtraFiles = []*os.File{theirIn, theirOut} // its descriptors 3 and 4
	if err := cmd.Start(); err != nil {
		t.Logf("Chromium does not start: %v", err)
		return nil
	}
	theirIn.Close()
	theirOut.Close()
	b := &Page{T: t, to: to, from: bufio.NewReader(from)}
	watchdog := time.AfterFunc(2*time.Minute, func() { cmd.Process.Kill() })
	t.Cleanup(func() {
		if !b.dead {
			b.send("Browser.close", nil)
		}
		cmd.Wait()
		watchdog.Stop()
		to.Close()
		from.Close()
	})
	b.send("Browser.getVersion", nil)
	if _, _, err := b.receive(); err != nil {
		b.dead = true
		t.Logf("Chromium died at its start: %v", err)
		return nil
	}
	return b
}

func (b *Page) send(method string, params any) {
	b.last++
	message := map[string]any{"id": b.last, "method": method}
	if params != nil {
		message["params"] = params
	}
	if b.session != "" && method != "Browser.close" {
		message["sessionId"] = b.session
	}
	text, err := json.Marshal(message)
	if err == nil {
		_, err = b.to.Write(append(text, 0))
	}
	if err != nil {
		b.T.Errorf("%s: %v", method, err)
	}
}

// receive reads one message, and keeps it if it is an event.
func (b *Page) receive() (id int, result json.RawMessage, err error) {
	text, err := b.from.ReadBytes(0)
	if err != nil {
		return 0, nil, err
	}
	var m struct {
		ID     int
		Method string
		Params json.RawMessage
		Result json.RawMessage
		Error  *struct{ Message string }
	}
	if err := json.Unmarshal(text[:len(text)-1], &m); err != nil {
		return 0, nil, err
	}
	if m.Error != nil {
		return m.ID, nil, errors.New(m.Error.Message)
	}
	if m.Method != "" {
		b.Events = append(b.Events, Event{m.Method, m.Params})
	}
	return m.ID, m.Result, nil
}

// Call sends a command and waits for its result.
func (b *Page) Call(method string, params, result any) {
	b.T.Helper()
	b.send(method, params)
	for wanted := b.last; ; {
		id, text, err := b.receive()
		if err != nil {
			b.T.Fatalf("%s: %v", method, err)
		}
		if id != wanted {
			continue
		}
		if result != nil {
			if err := json.Unmarshal(text, result); err != nil {
				b.T.Fatalf("%s: %v", method, err)
			}
		}
		return
	}
}

// Load loads a file and waits until it is complete.
func (b *Page) Load(file string) {
	b.T.Helper()
	path, err := filepath.Abs(file)
	if err != nil {
		b.T.Fatal(err)
	}
	b.Events = nil
	b.Call("Page.navigate", map[string]any{"url": "file://" + filepath.ToSlash(path)}, nil)
	for !b.Saw("Page.loadEventFired") {
		if _, _, err := b.receive(); err != nil {
			b.T.Fatal(err)
		}
	}
}

// Saw tells whether the browser told an event of that name.
func (b *Page) Saw(method string) bool {
	return slices.ContainsFunc(b.Events, func(e Event) bool { return e.Method == method })
}

// Evaluate runs an expression in the page.
func (b *Page) Evaluate(expression string, value any) {
	b.T.Helper()
	var answer struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails *struct{ Exception struct{ Description string } }
	}
	b.Call("Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true, "awaitPromise": true}, &answer)
	if x := answer.ExceptionDetails; x != nil {
		b.T.Fatalf("%s: %s", expression, x.Exception.Description)
	}
	if value != nil && len(answer.Result.Value) > 0 {
		if err := json.Unmarshal(answer.Result.Value, value); err != nil {
			b.T.Fatalf("%s: %v", expression, err)
		}
	}
}

// Press sends a key to what has the focus.
func (b *Page) Press(key string, code int) {
	for _, kind := range []string{"keyDown", "keyUp"} {
		b.Call("Input.dispatchKeyEvent", map[string]any{"type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code}, nil)
	}
}

// Screen sets the size of the screen, in CSS pixels.
func (b *Page) Screen(width, height int, mobile bool) {
	b.Call("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": height, "deviceScaleFactor": 1, "mobile": mobile}, nil)
}
