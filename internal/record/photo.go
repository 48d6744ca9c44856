package record

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
)

// MaxPhoto bounds a photo's file.
const MaxPhoto = 64 << 20

// photoEndings are the kinds of photo that are kept, by their registered media types.
var photoEndings = map[string]string{"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp"}

// AddPhoto keeps a photo: the file beside the job file under the name of its digest,
// then its entry. It must be one that can be decoded whole. A photo that is there
// already gives its entry.
func (r *Record) AddPhoto(ctx context.Context, name string, data []byte, words string) (*Photo, error) {
	ending, ok := photoEndings[http.DetectContentType(data)]
	switch {
	case !ok:
		return nil, &finding.Error{File: name, Found: "no photo that can be kept", Allowed: "JPEG, PNG or WebP", Do: "save it as JPEG; nothing was written"}
	case len(data) > MaxPhoto:
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("%d bytes", len(data)), Allowed: fmt.Sprintf("at most %d MB", MaxPhoto>>20), Do: "save it smaller; nothing was written"}
	}
	img, _, err := bitmap.Read(name, data)
	if err != nil {
		return nil, err
	}
	sum := fmt.Sprintf("%x", sha256.Sum256(data))
	list, err := List[Photo](ctx, r)
	if err != nil {
		return nil, err
	}
	p := &Photo{SHA256: sum, File: sum + ending, Bytes: len(data), WidthPX: img.W, HeightPX: img.H, Words: words}
	if err := r.putPhoto(p.File, data); err != nil {
		return nil, err
	}
	for i := range list {
		if list[i].SHA256 == sum {
			return &list[i], nil
		}
	}
	return p, r.Write(ctx, p)
}

// putPhoto writes a photo's file whole or not at all.
func (r *Record) putPhoto(name string, data []byte) error {
	dir := PhotoDir(r.job)
	path := filepath.Join(dir, name)
	if was, err := os.ReadFile(path); err == nil && sha256.Sum256(was) == sha256.Sum256(data) {
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return cannotWrite(path, err)
	}
	f, err := os.CreateTemp(dir, ".coming-")
	if err != nil {
		return cannotWrite(path, err)
	}
	defer os.Remove(f.Name())
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if closing := f.Close(); err == nil {
		err = closing
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err == nil {
		err = syncDir(dir)
	}
	if err != nil {
		return cannotWrite(path, err)
	}
	return nil
}

// ReadPhoto gives a photo's bytes, having compared them with its digest.
func (r *Record) ReadPhoto(p *Photo) ([]byte, error) {
	path := filepath.Join(PhotoDir(r.job), filepath.Base(p.File))
	data, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &finding.Error{File: path, Found: "the photo is missing", Do: "put it back from a copy of the folder"}
	case err != nil:
		return nil, &finding.Error{File: path, Found: "the photo cannot be read", Err: err, Do: "put the photo back where it was, or withdraw its entry"}
	case fmt.Sprintf("%x", sha256.Sum256(data)) != p.SHA256:
		return nil, &finding.Error{File: path, Found: "the photo is not what it was", Do: "put it back from a copy of the folder"}
	}
	return data, nil
}
