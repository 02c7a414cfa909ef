package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// cause returns the reason of a file error without the path, which the message
// has already.
func cause(err error) error {
	var reason syscall.Errno
	if errors.As(err, &reason) {
		return reason
	}
	return err
}

// writeWhole puts page in the file at path, whole or not at all: it writes a
// file beside it and renames that. A symbolic link stays one. What is no
// regular file, such as a pipe, a device or the name of an open file, is written
// through, after what is there.
func writeWhole(path string, page []byte) error {
	if to, err := filepath.EvalSymlinks(path); err == nil && !ofSystem(path) {
		path = to
	} else if _, noLink := os.Readlink(path); noLink == nil && !ofSystem(path) {
		return errors.New("its symbolic links lead nowhere")
	}
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return errors.New("it is a folder")
	case ofSystem(path) || err == nil && !info.Mode().IsRegular():
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
		if err != nil {
			return err
		}
		_, err = f.Write(page)
		return errors.Join(err, f.Close())
	case err != nil:
		return replace(path, page, 0o666, false)
	}
	// A file that may not be written must not be replaced either.
	probe, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		err = probe.Close()
	}
	if err != nil {
		return err
	}
	return replace(path, page, info.Mode().Perm(), true)
}

// ofSystem reports whether path names something of the system, such as an open
// file, which may lead to a regular one that must not be replaced.
func ofSystem(path string) bool {
	return strings.HasPrefix(path, "/dev/") || strings.HasPrefix(path, "/proc/")
}

// replace writes page to a new file beside path and renames it to path.
// os.CreateTemp would hide it from everybody but its owner, whatever the person's
// umask says; keep sets mode in spite of that.
func replace(path string, page []byte, mode fs.FileMode, keep bool) error {
	part, err := "", fs.ErrExist
	for i := 0; i < 100 && errors.Is(err, fs.ErrExist); i++ {
		part = fmt.Sprintf("%s.%d-%d.part", path, os.Getpid(), i)
		err = writeFresh(part, page, mode)
	}
	if err != nil {
		return err
	}
	if keep {
		err = os.Chmod(part, mode)
	}
	if err == nil {
		err = os.Rename(part, path)
	}
	if err != nil {
		_ = os.Remove(part) // the first error is the one to tell
	}
	return err
}

// writeFresh writes a file that is not there yet, or leaves none.
func writeFresh(path string, text []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(path)
	}
	return err
}
