package bench

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"weftplot/cmd/weftplot/link"
	"weftplot/plot/jobfolder"
	"weftplot/profiles"
)

// raw sends bytes as they stand and returns the status of the answer, 0 where
// there is none.
func raw(t *testing.T, host, request string) (int, http.Header) {
	t.Helper()
	c, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(20 * time.Second))
	go io.WriteString(c, request) // it may be refused before all is sent
	r, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, nil
	}
	defer r.Body.Close()
	return r.StatusCode, r.Header
}

// TestOddRequests sends what no browser sends: each is refused, by the server or
// at the door, and none is taken for another.
func TestOddRequests(t *testing.T) {
	b, host, secret := attacked(t)
	defer b.pages.Stream("first")()
	known := "Host: " + host + "\r\nAuthorization: Bearer " + secret + "\r\nX-Page: first\r\nConnection: close\r\n"
	words := known + "Content-Type: application/json\r\n"
	body := func(s string) string { return fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(s), s) }
	for _, c := range []struct {
		name, request string
		least, most   int
	}{
		{"HEAD of the page", "HEAD / HTTP/1.1\r\nHost: " + host + "\r\n\r\n", 200, 200},
		{"HEAD of news, without the secret", "HEAD /news HTTP/1.1\r\nHost: " + host + "\r\n\r\n", 401, 404},
		{"OPTIONS with the secret", "OPTIONS /move HTTP/1.1\r\n" + known + "\r\n", 400, 405},
		{"OPTIONS *", "OPTIONS * HTTP/1.1\r\n" + known + "\r\n", 400, 405},
		{"PUT of a setting", "PUT /settings HTTP/1.1\r\n" + words + body(`{"width":"1in"}`), 405, 405},
		{"PATCH of a setting", "PATCH /settings HTTP/1.1\r\n" + words + body(`{"width":"1in"}`), 405, 405},
		{"DELETE of a profile", "DELETE /profile HTTP/1.1\r\n" + known + "\r\n", 405, 405},
		{"a method of its own", "DRAW /move HTTP/1.1\r\n" + words + body(`{}`), 400, 405},
		{"POST of the page", "POST / HTTP/1.1\r\n" + words + body(`{}`), 404, 404},
		{"GET of a motion", "GET /move HTTP/1.1\r\n" + known + "\r\n", 404, 404},
		{"CONNECT", "CONNECT " + host + " HTTP/1.1\r\n" + known + "\r\n", 400, 421},
		{"the target with a host", "GET http://" + host + "/news HTTP/1.1\r\n" + known + "\r\n", 400, 421},
		{"the target with another host", "GET http://pattern.example/news HTTP/1.1\r\n" + known + "\r\n", 400, 421},
		{"the target with a user", "GET http://" + host + "@pattern.example/ HTTP/1.1\r\n" + known + "\r\n", 400, 421},
		{"no host", "GET / HTTP/1.1\r\n\r\n", 400, 421},
		{"no host, as in HTTP/1.0", "GET / HTTP/1.0\r\n\r\n", 400, 421},
		{"two hosts", "GET / HTTP/1.1\r\nHost: " + host + "\r\nHost: pattern.example\r\n\r\n", 400, 421},
		{"a host with a space", "GET / HTTP/1.1\r\nHost: " + host + " x\r\n\r\n", 400, 421},
		{"two secrets", "GET /news HTTP/1.1\r\n" + known + "Authorization: Bearer x\r\n\r\n", 401, 403},
		{"the secret twice over", "GET /news HTTP/1.1\r\nHost: " + host + "\r\nAuthorization: Bearer " + secret + ", Bearer " + secret + "\r\n\r\n", 401, 403},
		{"two origins", "POST /stop HTTP/1.1\r\n" + known + "Origin: http://" + host + "\r\nOrigin: http://pattern.example\r\n" + body(""), 403, 403},
		{"an empty origin", "POST /stop HTTP/1.1\r\n" + known + "Origin: \r\n" + body(""), 403, 403},
		{"two Sec-Fetch-Sites", "POST /stop HTTP/1.1\r\n" + known + "Sec-Fetch-Site: same-origin\r\nSec-Fetch-Site: cross-site\r\n" + body(""), 403, 403},
		{"Sec-Fetch-Site in capitals", "POST /stop HTTP/1.1\r\n" + known + "Sec-Fetch-Site: CROSS-SITE\r\n" + body(""), 403, 403},
		{"a path that climbs, with %2f", "GET /page/..%2f..%2fetc%2fpasswd HTTP/1.1\r\n" + known + "\r\n", 404, 404},
		{"a path that climbs, with %5c", "GET /page/..%5c..%5cjob.toml HTTP/1.1\r\n" + known + "\r\n", 404, 404},
		{"a path with a zero byte", "GET /page/main.js%00.svg HTTP/1.1\r\n" + known + "\r\n", 400, 404},
		{"two slashes", "GET //page/main.js HTTP/1.1\r\nHost: " + host + "\r\n\r\n", 400, 404},
		{"the design itself", "GET /design.svg HTTP/1.1\r\n" + known + "\r\n", 404, 404},
		{"a header of 100 kB", "GET / HTTP/1.1\r\nHost: " + host + "\r\nX-Long: " + strings.Repeat("a", 100<<10) + "\r\n\r\n", 400, 431},
		{"1,000 headers", "GET / HTTP/1.1\r\nHost: " + host + "\r\n" + strings.Repeat("X-Many: a long line of nothing\r\n", 1000) + "\r\n", 400, 431},
		{"a length and chunks", "POST /settings HTTP/1.1\r\n" + words + "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", 400, 501},
		{"two lengths", "POST /settings HTTP/1.1\r\n" + words + "Content-Length: 4\r\nContent-Length: 5\r\n\r\n{}   ", 400, 400},
		{"a negative length", "POST /settings HTTP/1.1\r\n" + words + "Content-Length: -1\r\n\r\n", 400, 400},
		{"words of 1 MB", "POST /settings HTTP/1.1\r\n" + words + body(`{"width":"`+strings.Repeat("9", 1<<20)+`"}`), 413, 422},
		{"words in words, 100,000 deep", "POST /settings HTTP/1.1\r\n" + words + body(strings.Repeat("[", 100_000)), 400, 422},
		{"words that are none", "POST /settings HTTP/1.1\r\n" + words + body("\xff\xfe{"), 400, 422},
		{"no words", "POST /settings HTTP/1.1\r\n" + words + body(""), 400, 422},
		{"a key too many", "POST /move HTTP/1.1\r\n" + words + body(`{"do":"edge","file":"/dev/sda"}`), 400, 422},
		{"a step of no number", "POST /steer HTTP/1.1\r\n" + words + body(`{"do":"step","x":1e999}`), 400, 422},
		{"a stream without the secret", "GET /stream?page=first HTTP/1.1\r\nHost: " + host + "\r\n\r\n", 401, 404},
		{"a stream of a page that watches", "GET /stream?page=second HTTP/1.1\r\n" + known + "\r\n", 403, 403},
		{"an upgrade to HTTP/2", "GET /news HTTP/1.1\r\nHost: " + host + "\r\nAuthorization: Bearer " + secret + "\r\nConnection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABkAAQAAP__\r\n\r\n", 400, 426},
		{"HTTP/2 at once", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", 0, 505},
	} {
		status, head := raw(t, host, c.request)
		if status < c.least || status > c.most {
			t.Errorf("%s: %d, want %d to %d", c.name, status, c.least, c.most)
		}
		t.Logf("%-45s %d", c.name, status)
		if len(head["Set-Cookie"]) > 0 || head.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("%s: it lets others in: %v", c.name, head)
		}
	}
	if b.job != nil || b.run != nil || b.steer != nil {
		t.Error("something came of it")
	}
}

// TestALargeFileInPieces sends 101 MB whose length is not told beforehand.
func TestALargeFileInPieces(t *testing.T) {
	t.Parallel()
	b, host, secret := attacked(t)
	defer b.pages.Stream("first")()
	r, err := http.NewRequest("POST", "http://"+host+"/drawing?name=large.svg", io.MultiReader(io.LimitReader(zeros{}, 101<<20)))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+secret)
	r.Header.Set("X-Page", "first")
	got, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close()
	if said, _ := io.ReadAll(got.Body); got.StatusCode != 413 || !bytes.Contains(said, []byte("100 MB is the most")) {
		t.Errorf("%d, %s", got.StatusCode, said)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// TestAMachineFileWithAMistake: a profile that is no sound one is refused with its
// line, and one that was spoiled where it lies is refused when it is chosen.
func TestAMachineFileWithAMistake(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	text, err := profiles.Source(profiles.MachineKind, "gantry-z")
	if err != nil {
		t.Fatal(err)
	}
	own := strings.Replace(string(text), `name = "gantry-z"`, `name = "studio"`, 1)
	for mistake, says := range map[string]string{
		strings.Replace(own, "draw = ", "drwa = ", 1):           "drwa",
		strings.Replace(own, `area = [`, `area = ["0mm", `, 1):  "area",
		strings.Replace(own, `"gcode"`, `"morse"`, 1):           "morse",
		strings.Replace(own, "[speed]", "[speed", 1):            "the profile",
		strings.Replace(own, `"studio"`, `"../../../etc/x"`, 1): "name",
	} {
		if _, err := b.memory.Save(profiles.MachineKind, []byte(mistake)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		} else {
			t.Log(err)
		}
	}
	if _, err := b.memory.Save(profiles.MachineKind, []byte(own)); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(b.memory.Show().Folder, "machines", "studio.toml")
	if err := os.WriteFile(file, []byte(strings.Replace(own, "draw = ", "drwa = ", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	before := b.job
	err = b.change(func(j *task) error { return b.apply(j, patch{"machine": "studio"}) })
	if err == nil || !strings.Contains(err.Error(), "drwa") || b.job != before {
		t.Errorf("a spoiled machine file is chosen: %v", err)
	}
	b.work.Wait()
}

// onMachine puts a job of one small square on the bench, for a machine that is like
// a built-in one.
func onMachine(t *testing.T, b *bench, like string, change func(string) string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "square.svg")
	if err := os.WriteFile(file, []byte(`<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20"><path d="M0 0H20V20H0Z" fill="none" stroke="black"/></svg>`), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := b.openFile(file); err != nil {
		t.Fatal(err)
	}
	text, err := profiles.Source(profiles.MachineKind, like)
	if err != nil {
		t.Fatal(err)
	}
	own := change(strings.Replace(string(text), `name = "`+like+`"`, `name = "studio"`, 1))
	if _, err := b.memory.Save(profiles.MachineKind, []byte(own)); err != nil {
		t.Fatal(err)
	}
	if err := b.change(func(j *task) error { return b.apply(j, patch{"machine": "studio"}) }); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
}

// TestAPortThatIsNotThere asks for a port that has vanished: a sentence, and
// nothing is recorded as begun.
func TestAPortThatIsNotThere(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	onMachine(t, b, "gantry-z", func(s string) string { return s })
	for _, do := range []string{doEdge, doRehearse, doDraw} {
		if err := b.start(do, "/dev/no-such-port", part{}); err != nil {
			t.Fatal(err)
		}
		waitUntil(t, b, func() bool { return b.run == nil })
		if b.last.trouble == nil || !strings.Contains(b.last.trouble.What, "no such port") || b.last.word != wordReady {
			t.Errorf("%s: %+v, %+v", do, b.last, b.last.trouble)
		}
	}
	if b.job.halfDrawn() {
		t.Error("the cloth counts as begun")
	}
	b.work.Wait()
}

// TestAFolderThatWasMixed puts another program into the job folder: it is not
// sent, as the command does not send it.
func TestAFolderThatWasMixed(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	b.work.Wait()
	program := filepath.Join(b.job.dir, "plot.gcode")
	text, err := os.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(program, append(text, "G1 X1 Y1\n"...), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := b.start(doDraw, link.SimPort, part{}); err == nil || !strings.Contains(err.Error(), "do not belong together") || b.run != nil {
		t.Errorf("a program of another job is sent: %v", err)
	}
	if err := os.WriteFile(program, text, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := b.start(doDraw, "/dev/ttyUSB0", part{}); err == nil || !strings.Contains(err.Error(), "only simulated") {
		t.Errorf("a job for the simulated machine goes to a real port: %v", err)
	}
}

// Everything that a job folder holds can be sent together after each of these.
func soundFolder(t *testing.T, dir string) {
	t.Helper()
	if _, _, err := jobfolder.Place(dir).ReadFolder(context.Background(), dir, jobfolder.Wanted{}); err != nil {
		t.Errorf("the folder cannot be sent: %v", err)
	}
}
