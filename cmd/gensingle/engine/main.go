// Command engine is what stands behind the page that gensingle writes.
package main

import "sunrill/cmd/internal/answer"

func main() { serve(answer.Demo().Do) }
