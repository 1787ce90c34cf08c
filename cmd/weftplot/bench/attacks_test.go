package bench

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"weftplot/cmd/weftplot/bench/door"
	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/link"
)

// Thorough is for the tests of both packages of this folder.
var Thorough = flag.Bool("thorough", false, "run the long tests of the page too, as .ci/run does")

// attacked is a bench on a real port, with nothing on it.
func attacked(t *testing.T) (b *bench, host, secret string) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	b = &bench{ctx: ctx, dir: t.TempDir(), engine: engine.New(nil), bodies: requests.Bodies{Patience: requests.Usual}, pages: door.NewPages(), memory: memory.Open(t.TempDir()), simSpeed: link.SimSpeed}
	t.Cleanup(func() { cancel(); b.work.Wait() }) // before its folder is removed
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	secret, host = door.NewSecret(), l.Addr().String()
	s := requests.Server(b.handler(host, secret, nil))
	go s.Serve(l)
	t.Cleanup(func() { s.Close() })
	return b, host, secret
}

// TestAttacks holds the door against everything that another page, another user
// or another program of this computer may try. The statuses are those of the
// contract: 401, 403 or 404 without the secret; 403 or 421 from elsewhere; 400
// and above for another host.
func TestAttacks(t *testing.T) {
	b, host, secret := attacked(t)
	defer b.pages.Stream("first")()
	mine := map[string]string{"Authorization": "Bearer " + secret, "X-Page": "first", "Content-Type": "application/json", "Origin": "http://" + host, "Sec-Fetch-Site": "same-origin"}
	without := func(drop string, more ...string) map[string]string {
		out := map[string]string{}
		for k, v := range mine {
			if k != drop {
				out[k] = v
			}
		}
		for i := 0; i+1 < len(more); i += 2 {
			out[more[i]] = more[i+1]
		}
		return out
	}
	stranger := []int{401, 403, 404}
	elsewhere := []int{403, 421}
	for _, c := range []struct {
		name, method, path, body string
		head                     map[string]string
		want                     []int
	}{
		{"the page itself", "GET", "/", "", nil, []int{200}},
		{"its script", "GET", "/page/main.js", "", nil, []int{200}},
		{"its script, asked from a page elsewhere", "GET", "/page/main.js", "", map[string]string{"Sec-Fetch-Site": "cross-site"}, []int{200}},
		{"news with the secret", "GET", "/news?page=first&seen=0", "", mine, []int{200}},
		{"a setting with the secret", "POST", "/settings", `{"width":"1in"}`, mine, []int{422}},

		{"news without the secret", "GET", "/news?page=first", "", nil, stranger},
		{"the strokes without the secret", "GET", "/picture", "", nil, stranger},
		{"the paper without the secret", "GET", "/paper.pdf", "", nil, stranger},
		{"the page for the frame without the secret", "GET", "/sheet.pdf", "", nil, stranger},
		{"another file of the job", "GET", "/job.toml", "", mine, []int{404}},
		{"what is not there, without the secret", "GET", "/nothing", "", nil, stranger},
		{"a folder of assets", "GET", "/page/", "", nil, stranger},
		{"the secret in the address", "GET", "/news?secret=" + secret, "", nil, stranger},
		{"the secret in a cookie", "GET", "/news", "", map[string]string{"Cookie": "secret=" + secret}, stranger},
		{"the secret one letter short", "GET", "/news", "", map[string]string{"Authorization": "Bearer " + secret[1:]}, stranger},
		{"the secret as another scheme", "GET", "/news", "", map[string]string{"Authorization": secret}, stranger},
		{"no secret, empty", "GET", "/news", "", map[string]string{"Authorization": "Bearer "}, stranger},
		{"stop without the secret", "POST", "/stop", "", without("Authorization"), stranger},
		{"draw without the secret", "POST", "/move", `{"do":"draw"}`, without("Authorization"), stranger},
		{"a preflight", "OPTIONS", "/move", "", map[string]string{"Origin": "http://" + host, "Access-Control-Request-Method": "POST"}, stranger},
		{"trace", "TRACE", "/", "", nil, append(stranger, 405)},

		{"a path that climbs", "GET", "/page/../../../etc/passwd", "", nil, stranger},
		{"a path that climbs, encoded", "GET", "/page/%2e%2e/%2e%2e/etc/passwd", "", nil, stranger},
		{"a path that climbs, with the secret", "GET", "/page/../job.toml", "", mine, []int{404}},
		{"a job by a path", "POST", "/open", `{"job":"../../etc"}`, mine, []int{422}},
		{"a profile by a path", "GET", "/profile?kind=machine&name=../../secret", "", mine, []int{422}},

		{"stop from another port", "POST", "/stop", "", without("", "Origin", "http://127.0.0.1:1"), elsewhere},
		{"stop from another host", "POST", "/stop", "", without("", "Origin", "http://pattern.example"), elsewhere},
		{"stop from the same port as https", "POST", "/stop", "", without("", "Origin", "https://"+host), elsewhere},
		{"stop from a file", "POST", "/stop", "", without("", "Origin", "null"), elsewhere},
		{"stop from the same site", "POST", "/stop", "", without("Origin", "Sec-Fetch-Site", "same-site"), elsewhere},
		{"stop from across sites", "POST", "/stop", "", without("Origin", "Sec-Fetch-Site", "cross-site"), elsewhere},
		{"stop typed into the address bar", "POST", "/stop", "", without("Origin", "Sec-Fetch-Site", "none"), elsewhere},
		{"a handshake", "GET", "/news", "", without("", "Upgrade", "websocket", "Connection", "Upgrade"), elsewhere},

		{"another page's change", "POST", "/settings", `{"width":"1in"}`, without("", "X-Page", "second"), []int{403}},
		{"a change by no page", "POST", "/settings", `{"width":"1in"}`, without("X-Page"), []int{403}},
		{"another page's font", "POST", "/font?name=rope.ttf", "x", without("", "X-Page", "second"), []int{403}},
		{"a font by a path", "POST", "/settings", `{"font":"/etc/passwd"}`, mine, []int{422}},
		{"a form's type", "POST", "/settings", `width=1in`, without("", "Content-Type", "application/x-www-form-urlencoded"), []int{422}},
		{"a key that is no setting", "POST", "/settings", `{"design":"/etc/passwd"}`, mine, []int{422}},
		{"draw with no turn", "POST", "/move", `{"do":"draw","port":"sim"}`, mine, []int{409}},
		{"draw with a made-up turn", "POST", "/move", `{"do":"draw","port":"sim","turn":"` + door.NewSecret() + `"}`, mine, []int{409}},
		{"jog with no turn", "POST", "/steer", `{"do":"take","port":"sim"}`, mine, []int{409}},
	} {
		status, head := ask(t, host, c.method, c.path, c.body, c.head)
		if !contains(c.want, status) {
			t.Errorf("%s: %d, want one of %v", c.name, status, c.want)
		}
		t.Logf("%-45s %d", c.name, status)
		if got := head.Get("X-Content-Type-Options"); got != "nosniff" {
			t.Errorf("%s: no nosniff", c.name)
		}
		if len(head["Set-Cookie"]) > 0 {
			t.Errorf("%s: a cookie is set", c.name)
		}
		csp := head.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || !strings.Contains(csp, "frame-ancestors 'none'") || strings.Contains(csp, "unsafe-inline") {
			t.Errorf("%s: policy %q", c.name, csp)
		}
	}
}

func contains(list []int, n int) bool {
	for _, v := range list {
		if v == n {
			return true
		}
	}
	return false
}

// ask sends a request as it stands: no client of ours mends its path or host.
func ask(t *testing.T, host, method, path, body string, head map[string]string) (int, http.Header) {
	t.Helper()
	c, err := net.Dial("tcp", host)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(5 * time.Second))
	to := host
	if head["Host"] != "" {
		to = head["Host"]
	}
	fmt.Fprintf(c, "%s %s HTTP/1.1\r\nHost: %s\r\nContent-Length: %d\r\n", method, path, to, len(body))
	for k, v := range head {
		if k != "Host" {
			fmt.Fprintf(c, "%s: %s\r\n", k, v)
		}
	}
	fmt.Fprintf(c, "\r\n%s", body)
	r, err := http.ReadResponse(bufio.NewReader(c), &http.Request{Method: method})
	if err != nil {
		t.Fatalf("%s %s: %v", method, path, err)
	}
	defer r.Body.Close()
	return r.StatusCode, r.Header
}

func TestAnotherHostIsRefused(t *testing.T) {
	_, host, secret := attacked(t)
	_, port, _ := net.SplitHostPort(host)
	for _, h := range []string{"localhost:" + port, "127.0.0.1", "pattern.example:" + port, "127.0.0.1:1", "127.0.0.1:" + port + ".", "[::1]:" + port, "127.1:" + port} {
		for _, path := range []string{"/", "/page/main.js", "/news"} {
			if status, _ := ask(t, host, "GET", path, "", map[string]string{"Host": h, "Authorization": "Bearer " + secret}); status < 400 {
				t.Errorf("host %s, %s: %d", h, path, status)
			}
		}
	}
}

// A refusal does not wait for the body, and a body that is too large or too slow
// is not waited for.
func TestBodies(t *testing.T) {
	b, host, secret := attacked(t)
	defer b.pages.Stream("first")()
	send := func(head string) (int, time.Duration) {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		c.SetDeadline(time.Now().Add(20 * time.Second))
		began := time.Now()
		fmt.Fprintf(c, "POST /drawing?name=a.svg HTTP/1.1\r\nHost: %s\r\nX-Page: first\r\n%s\r\n", host, head)
		r, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err != nil {
			t.Fatal(err)
		}
		io.Copy(io.Discard, r.Body)
		return r.StatusCode, time.Since(began)
	}
	if status, _ := send("Content-Length: 1000000\r\n"); status != 401 {
		t.Errorf("without the secret, with a body that never comes: %d", status)
	}
	if status, _ := send("Content-Length: 1000000\r\nAuthorization: Bearer " + secret + "\r\nOrigin: http://pattern.example\r\n"); status != 403 {
		t.Errorf("from elsewhere, with a body that never comes: %d", status)
	}
	if status, _ := send("Content-Length: 209715200\r\nAuthorization: Bearer " + secret + "\r\n"); status != 413 {
		t.Errorf("200 MB: %d", status)
	}
}

// TestASlowBodyEnds lets the rest of a body never come: the request ends by its
// deadline, though it knows the secret, and nothing was changed by it.
func TestASlowBodyEnds(t *testing.T) {
	t.Parallel()
	b, host, secret := attacked(t)
	defer b.pages.Stream("first")()
	b.bodies.Patience = requests.Patience{Words: 200 * time.Millisecond, Data: 200 * time.Millisecond}
	for _, path := range []string{"/settings", "/move", "/steer", "/drawing?name=a.svg", "/marks"} {
		c, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		c.SetDeadline(time.Now().Add(20 * time.Second))
		fmt.Fprintf(c, "POST %s HTTP/1.1\r\nHost: %s\r\nX-Page: first\r\nAuthorization: Bearer %s\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{", path, host, secret)
		// What is answered, if anything is, is a refusal, and the connection ends.
		all, err := io.ReadAll(c)
		if err != nil {
			t.Errorf("%s: a body that never comes is waited for: %v", path, err)
		}
		if len(all) > 0 && !strings.HasPrefix(string(all), "HTTP/1.1 4") && !strings.HasPrefix(string(all), "HTTP/1.1 5") {
			t.Errorf("%s: it was answered %.40q", path, all)
		}
	}
	if b.job != nil || b.run != nil {
		t.Error("something came of a request that never came whole")
	}
}

// TestAMotionSentAgain captures the requests that move the machine and sends them
// again, word for word: each is refused as used, and nothing moves.
func TestAMotionSentAgain(t *testing.T) {
	t.Parallel()
	b, host, secret := attacked(t)
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	defer b.pages.Stream("first")() // it stays, however long the machine takes
	_, turn := b.pages.Hear("first")
	head := map[string]string{"Authorization": "Bearer " + secret, "X-Page": "first", "Content-Type": "application/json", "Origin": "http://" + host, "Sec-Fetch-Site": "same-origin"}
	send := func(path, body string) int {
		t.Helper()
		status, _ := ask(t, host, "POST", path, body, head)
		return status
	}
	edge := fmt.Sprintf(`{"do":"edge","port":"sim","turn":%q}`, turn)
	if status := send("/move", edge); status != 200 {
		t.Fatalf("once round the edge: %d", status)
	}
	if status := send("/move", edge); status != 409 {
		t.Errorf("sent again while the machine moves: %d", status)
	}
	waitUntil(t, b, func() bool { return b.run == nil })
	was := b.last.number
	for _, body := range []string{edge, fmt.Sprintf(`{"do":"draw","port":"sim","turn":%q}`, turn)} {
		if status := send("/move", body); status != 409 {
			t.Errorf("sent again when the machine rests: %d", status)
		}
	}
	if status := send("/key", fmt.Sprintf(`{"key":"go","turn":%q}`, turn)); status != 409 {
		t.Errorf("Go on with a used turn: %d", status)
	}
	_, turn = b.pages.Hear("first")
	take := fmt.Sprintf(`{"do":"take","port":"sim","turn":%q}`, turn)
	if status := send("/steer", take); status != 200 {
		t.Fatalf("taking the pen: %d", status)
	}
	_, turn = b.pages.Hear("first")
	jog := fmt.Sprintf(`{"do":"step","by":"mm","x":10,"turn":%q}`, turn)
	if status := send("/steer", jog); status != 200 {
		t.Fatalf("a step: %d", status)
	}
	for _, body := range []string{jog, take} {
		if status := send("/steer", body); status != 409 {
			t.Errorf("a step sent again: %d", status)
		}
	}
	b.mu.Lock()
	at, moved := b.steer.at, b.last.number != was || b.run != nil
	b.mu.Unlock()
	if at.X != 10 || moved {
		t.Errorf("the pen is at %v after one step of 10 mm; something else moved: %v", at, moved)
	}
	b.endSteering()
	b.work.Wait()
}

// waitUntil waits for what a bench is to come to.
func waitUntil(t *testing.T, b *bench, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(10 * time.Millisecond) {
		b.mu.Lock()
		ok := is()
		b.mu.Unlock()
		if ok {
			return
		}
		if time.Now().After(deadline) {
			t.Fatal("after a minute it is still not so")
		}
	}
}
