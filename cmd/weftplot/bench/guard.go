package bench

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net/http"
	"strings"
	"time"
)

// newSecret returns 32 random bytes as text of A-Z a-z 0-9 - _.
func newSecret() string {
	var b [32]byte
	rand.Read(b[:]) // it never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// guard lets only the program's own page in. Cookies know no ports, so there are
// none: the page sends the secret of this run in a header that no other page can
// send. The checks stand in the order in which they cost least to an attacker's
// knowledge: host, origin, secret; all of them before the body is looked at.
type guard struct {
	host   string   // host and port, exactly as served
	secret [32]byte // SHA-256 of it
	open   map[string]bool
	next   http.Handler
	seen   func() // told once of each request with the secret
}

// policy lets the page load what the program itself serves and nothing else.
const policy = "default-src 'none'; script-src 'self'; worker-src 'self'; style-src 'self'; " +
	"img-src 'self' blob:; media-src 'self' blob:; connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// setHeaders sets what every answer carries, refusals too.
func setHeaders(h http.Header) {
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Content-Security-Policy", policy)
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Permissions-Policy", "camera=(self), microphone=(), geolocation=()")
	h.Set("Cache-Control", "no-store")
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	setHeaders(w.Header())
	if status := g.judge(r); status != 0 {
		// The body is not read: the connection ends with the answer.
		w.Header().Set("Connection", "close")
		http.Error(w, http.StatusText(status), status)
		return
	}
	if !g.open[r.URL.Path] && g.seen != nil {
		g.seen()
	}
	g.next.ServeHTTP(w, r)
}

// judge returns the status of a refusal, 0 for a request that may come in.
func (g *guard) judge(r *http.Request) int {
	if r.Host != g.host || r.URL.IsAbs() {
		return http.StatusMisdirectedRequest
	}
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	if o, sent := r.Header["Origin"]; sent && (len(o) != 1 || o[0] != "http://"+g.host) {
		return http.StatusForbidden
	}
	site, sent := r.Header["Sec-Fetch-Site"]
	bare := reads && g.open[r.URL.Path]
	if sent && !bare && (len(site) != 1 || site[0] != "same-origin") {
		return http.StatusForbidden
	}
	if bare {
		return 0
	}
	if !g.knows(r) {
		return http.StatusUnauthorized
	}
	if !reads && r.Method != http.MethodPost {
		return http.StatusMethodNotAllowed
	}
	if r.Header.Get("Upgrade") != "" {
		return http.StatusForbidden
	}
	return 0
}

// knows reports whether the request carries the secret. What is compared are
// hashes, so that neither its length nor a part of it shows in the time taken.
func (g *guard) knows(r *http.Request) bool {
	h := r.Header["Authorization"]
	if len(h) != 1 {
		return false
	}
	said, bearer := strings.CutPrefix(h[0], "Bearer ")
	sum := sha256.Sum256([]byte(said))
	return subtle.ConstantTimeCompare(sum[:], g.secret[:]) == 1 && bearer
}

// Bounds of what is read from a request.
const (
	maxUpload = 100 << 20 // as every command reads, bytes
	maxWords  = 256 << 10 // settings, orders and profiles, bytes
	headTime  = 5 * time.Second
	wordsTime = 10 * time.Second // for a body of words to come in
	dataTime  = 60 * time.Second // for a drawing
)

// bounded gives a request's body an end, in bytes and in time.
func bounded(w http.ResponseWriter, r *http.Request, most int64, within time.Duration) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(within)) // a server that cannot has time-outs of its own
	r.Body = http.MaxBytesReader(w, r.Body, most)
}
