// Command sunrill plans the water, power and money of one small circulating
// pond pump.
package main

func main() {}
