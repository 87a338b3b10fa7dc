package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"time"

	"github.com/labstack/echo/v4"
)

// asset is one file of the client, with its packed forms where the build made
// them.
type asset struct {
	kind   string            // media type
	etag   string            // of the plain form
	cache  string            // Cache-Control
	bodies map[string][]byte // by content coding; "" is the plain form
}

// client serves the built client out of memory: it is a few megabytes and asked
// for in bursts.
type client struct{ assets map[string]asset }

// codings are the packed forms in order of preference, with their file endings.
var codings = []struct{ name, ext string }{{"br", ".br"}, {"gzip", ".gz"}}

// newClient reads every file. A client without an index page counts as not
// built and has no assets.
func newClient(files fs.FS) (*client, error) {
	c := &client{assets: map[string]asset{}}
	if files == nil {
		return c, nil
	}
	if _, err := fs.Stat(files, "index.html"); errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) == ".br" || path.Ext(name) == ".gz" {
			return err
		}
		a, err := readAsset(files, name)
		c.assets["/"+name] = a
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("read the client's files: %w", err)
	}
	c.assets["/"] = c.assets["/index.html"]
	return c, nil
}

func readAsset(files fs.FS, name string) (asset, error) {
	plain, err := fs.ReadFile(files, name)
	if err != nil {
		return asset{}, err
	}
	sum := sha256.Sum256(plain)
	a := asset{kind: mediaType(name), etag: hex.EncodeToString(sum[:12]), cache: "no-cache", bodies: map[string][]byte{"": plain}}
	if strings.HasPrefix(name, "assets/") { // the build puts a hash in these names
		a.cache = "public, max-age=31536000, immutable"
	}
	for _, k := range codings {
		packed, err := fs.ReadFile(files, name+k.ext)
		if err == nil {
			a.bodies[k.name] = packed
		} else if !errors.Is(err, fs.ErrNotExist) {
			return asset{}, err
		}
	}
	return a, nil
}

// mediaType does not rely on the machine's own table for the types that
// browsers insist on.
func mediaType(name string) string {
	switch path.Ext(name) {
	case ".wasm":
		return "application/wasm"
	case ".js", ".mjs":
		return "text/javascript; charset=utf-8"
	case ".webmanifest":
		return "application/manifest+json"
	case ".html":
		return "text/html; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	case ".woff2":
		return "font/woff2"
	}
	if t := mime.TypeByExtension(path.Ext(name)); t != "" {
		return t
	}
	return "application/octet-stream"
}

func (c *client) serve(e echo.Context) error {
	if len(c.assets) == 0 {
		return fail(codeNotBuilt, nil)
	}
	a, ok := c.assets[path.Clean("/"+e.Request().URL.Path)]
	if !ok {
		return fail(codeNotFound, nil)
	}
	h := e.Response().Header()
	coding := ""
	for _, k := range codings {
		if a.bodies[k.name] != nil && accepts(e.Request().Header.Get("Accept-Encoding"), k.name) {
			coding = k.name
			break
		}
	}
	h.Set("Content-Type", a.kind)
	h.Set("Cache-Control", a.cache)
	if len(a.bodies) > 1 {
		h.Set("Vary", "Accept-Encoding")
	}
	tag := a.etag
	if coding != "" {
		h.Set("Content-Encoding", coding)
		tag += "-" + coding
	}
	h.Set("ETag", `"`+tag+`"`)
	http.ServeContent(e.Response(), e.Request(), "", time.Time{}, bytes.NewReader(a.bodies[coding]))
	return nil
}

// accepts tells whether an Accept-Encoding header takes a coding; "q=0" says no
// (RFC 9110, section 12.5.3).
func accepts(header, coding string) bool {
	for part := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(strings.TrimSpace(part), ";")
		if !strings.EqualFold(strings.TrimSpace(name), coding) {
			continue
		}
		q := strings.ReplaceAll(strings.TrimSpace(params), " ", "")
		return strings.Trim(strings.TrimPrefix(strings.ToLower(q), "q="), "0.") != "" || q == ""
	}
	return false
}
