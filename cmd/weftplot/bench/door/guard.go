package door

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"net/http"
	"strings"
)

// NewSecret returns 32 random bytes as text of A-Z a-z 0-9 - _.
func NewSecret() string {
	var b [32]byte
	rand.Read(b[:]) // it never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Guard lets only the program's own page in. Cookies know no ports, so there are
// none: the page sends the secret of this run in a header that no other page can
// send. The checks stand in the order in which they cost least to an attacker's
// knowledge: host, origin, secret; all of them before the body is looked at.
type Guard struct {
	Host string          // host and port, exactly as served
	Open map[string]bool // paths that may be read without the secret
	Next http.Handler    // what is let in
	Seen func()          // told of each request that is let in with the secret; may be nil
	hash [32]byte        // SHA-256 of the secret
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

// NewGuard returns the guard of a server, which knows the secret.
func NewGuard(host, secret string, open map[string]bool, next http.Handler, seen func()) *Guard {
	return &Guard{Host: host, Open: open, Next: next, Seen: seen, hash: sha256.Sum256([]byte(secret))}
}

// ServeHTTP lets a request in, or refuses it without looking at its body.
func (g *Guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	setHeaders(w.Header())
	if status := g.judge(r); status != 0 {
		// The body is not read: the connection ends with the answer.
		w.Header().Set("Connection", "close")
		http.Error(w, http.StatusText(status), status)
		return
	}
	if !g.Open[r.URL.Path] && g.Seen != nil {
		g.Seen()
	}
	g.Next.ServeHTTP(w, r)
}

// judge returns the status of a refusal, 0 for a request that may come in.
func (g *Guard) judge(r *http.Request) int {
	if r.Host != g.Host || r.URL.IsAbs() {
		return http.StatusMisdirectedRequest
	}
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	bare := reads && g.Open[r.URL.Path]
	if !g.ours(r, bare) {
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

// ours reports whether a request comes from the page itself, as far as the
// browser says. The bare page may be asked for from anywhere.
func (g *Guard) ours(r *http.Request, bare bool) bool {
	if o, sent := r.Header["Origin"]; sent && (len(o) != 1 || o[0] != "http://"+g.Host) {
		return false
	}
	site, sent := r.Header["Sec-Fetch-Site"]
	return !sent || bare || len(site) == 1 && site[0] == "same-origin"
}

// knows reports whether the request carries the secret. What is compared are
// hashes, so that neither its length nor a part of it shows in the time taken.
func (g *Guard) knows(r *http.Request) bool {
	h := r.Header["Authorization"]
	if len(h) != 1 {
		return false
	}
	said, bearer := strings.CutPrefix(h[0], "Bearer ")
	sum := sha256.Sum256([]byte(said))
	return subtle.ConstantTimeCompare(sum[:], g.hash[:]) == 1 && bearer
}
