package door

import (
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
)

// Opener opens the browser at an address that other users of the computer must
// not see. Command lines can be read by all of them, so what is opened is a file
// of this user's own that leads on to the address.
type Opener struct {
	dir  string
	once sync.Once
}

// Open starts the browser.
func (o *Opener) Open(address string) error {
	dir, err := os.MkdirTemp("", "weftplot-") // of mode 0700
	if err != nil {
		return err
	}
	o.dir = dir
	name := filepath.Join(dir, "open.html")
	text := fmt.Sprintf("<!doctype html><meta charset=utf-8><title>weftplot</title>"+
		"<meta http-equiv=refresh content=\"0;url=%[1]s\"><a href=\"%[1]s\">Open the page</a>\n", html.EscapeString(address))
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		o.Remove()
		return err
	}
	var cmd *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		cmd = exec.Command("open", name)
	case "windows":
		cmd = exec.Command("rundll32", "url.dll,FileProtocolHandler", name)
	default:
		cmd = exec.Command("xdg-open", name)
	}
	if err := cmd.Start(); err != nil {
		o.Remove()
		return err
	}
	go cmd.Wait() // some openers stay as long as the browser does
	return nil
}

// Remove takes the file away once the page has come, or will not come any more.
func (o *Opener) Remove() {
	if o.dir != "" {
		o.once.Do(func() { os.RemoveAll(o.dir) })
	}
}
