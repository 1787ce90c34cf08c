package bench

import (
	"embed"
	"io/fs"
	"mime"
	"net/http"
	"path"
)

//go:embed page
var pageFiles embed.FS

// asset is a file of the page.
type asset struct {
	kind string // content type
	data []byte
}

// assets returns the files of the page by their paths. There are no others, and
// no folder is ever listed.
func assets() map[string]asset {
	kinds := map[string]string{".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}
	out := map[string]asset{}
	err := fs.WalkDir(pageFiles, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := pageFiles.ReadFile(name)
		kind := kinds[path.Ext(name)]
		if kind == "" {
			kind = mime.TypeByExtension(path.Ext(name))
		}
		out["/"+name] = asset{kind, data}
		return err
	})
	if err != nil {
		panic(err) // what is embedded can be read
	}
	out["/"] = out["/page/index.html"]
	delete(out, "/page/index.html")
	return out
}

func (a asset) serve(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", a.kind)
	if r.Method == http.MethodHead {
		return
	}
	w.Write(a.data)
}
