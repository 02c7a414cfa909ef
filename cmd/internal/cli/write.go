package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
)

// cause returns the reason of a file error without the path, which the message
// has already.
func cause(err error) error {
	var pathErr *fs.PathError
	var linkErr *os.LinkError
	switch {
	case errors.As(err, &pathErr):
		return pathErr.Err
	case errors.As(err, &linkErr):
		return linkErr.Err
	}
	return err
}

// writeWhole puts page in the file at path, whole or not at all: it writes a
// file beside it and renames that. A symbolic link stays one. What is no
// regular file, such as a pipe or a device, is written through, and so is what
// stands for an open file.
func writeWhole(path string, page []byte) error {
	path, err := endOfLinks(path)
	if err != nil {
		return err
	}
	info, err := os.Stat(path)
	_, open := descriptor(path)
	switch {
	case err == nil && info.IsDir():
		return errors.New("it is a folder")
	case open || err == nil && !info.Mode().IsRegular():
		return writeThrough(path, page)
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

// endOfLinks returns where path leads by symbolic links, even where nothing is
// there yet. It does not follow the name of an open file, which may lead to a
// regular one. An error is a loop of links.
func endOfLinks(path string) (string, error) {
	const most = 40 // as many as Linux follows
	for range most {
		full, err := filepath.Abs(path)
		if err != nil {
			return "", err
		}
		folder, err := filepath.EvalSymlinks(filepath.Dir(full))
		if err != nil {
			return path, nil // whoever opens it says so
		}
		full = filepath.Join(folder, filepath.Base(full))
		if _, open := descriptor(full); open {
			return full, nil
		}
		to, err := os.Readlink(path)
		if err != nil { // it is no link
			return path, nil
		}
		if !filepath.IsAbs(to) {
			to = filepath.Join(folder, to)
		}
		path = to
	}
	return "", errors.New("its symbolic links lead nowhere")
}

// openFile matches the names of the open files of a process: /dev/fd/1 is
// standard output of this one.
var openFile = regexp.MustCompile(`^/(?:dev|proc/(\d+)(?:/task/\d+)?)/fd/(\d+)$`)

// descriptor reports whether path, whose folder is no symbolic link, is the name
// of an open file, and the number of one of this process, else -1.
func descriptor(path string) (number int, open bool) {
	m := openFile.FindStringSubmatch(path)
	if m == nil || m[1] != "" && m[1] != strconv.Itoa(os.Getpid()) {
		return -1, m != nil
	}
	number, err := strconv.Atoi(m[2])
	return number, err == nil
}

// writeThrough writes page where path leads, after what is there. An open file
// of this process is not opened anew, as it would then start at its top.
func writeThrough(path string, page []byte) (err error) {
	f := os.Stderr // stays open for messages
	switch number, _ := descriptor(path); {
	case number < 0:
		f, err = os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	case number != 2:
		f = os.NewFile(uintptr(number), path)
	}
	if err != nil {
		return err
	}
	if _, err = f.Write(page); f != os.Stderr {
		err = errors.Join(err, f.Close())
	}
	return err
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
