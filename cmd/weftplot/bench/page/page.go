// Package page holds the files of the page: plain ES modules, one style sheet, and all
// words in text.js.
package page

import (
	"embed"
	"io/fs"
	"mime"
	"net/http"
	"path"
)

//go:embed *.html *.css *.js *.svg
var files embed.FS

// A File is one file of the page.
type File struct {
	kind string // content type
	data []byte
}

// Files returns the files of the page by their paths. There are no others, and
// no folder is ever listed.
func Files() map[string]File {
	kinds := map[string]string{".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}
	out := map[string]File{}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := files.ReadFile(name)
		kind := kinds[path.Ext(name)]
		if kind == "" {
			kind = mime.TypeByExtension(path.Ext(name))
		}
		out["/page/"+name] = File{kind, data}
		return err
	})
	if err != nil {
		panic(err) // what is embedded can be read
	}
	out["/"] = out["/page/index.html"]
	delete(out, "/page/index.html")
	return out
}

// Serve answers a request for the file.
func (a File) Serve(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", a.kind)
	if r.Method == http.MethodHead {
		return
	}
	w.Write(a.data)
}
