# Times R's nnls and quadprog, called from R, on problems without an equality: one a line, as numbers between blanks, rows
# and parts first, then A by rows, b, and the tops. Writes, one line each, the nanoseconds of nnls (which knows no tops)
# and of solve.QP, or "nan" where the package is not here. Each is the best of three turns of a hundred calls.
has <- sapply(c("nnls", "quadprog"), requireNamespace, quietly = TRUE)
turn <- function(solve) {
  if (is.null(solve)) return(NaN)
  min(replicate(3, {
    begun <- Sys.time()
    for (again in 1:100) solve()
    as.numeric(Sys.time() - begun, units = "secs")
  })) / 100 * 1e9
}
input <- file("stdin", "r")
while (length(line <- readLines(input, n = 1)) > 0) {
  numbers <- as.numeric(strsplit(line, " ")[[1]])
  rows <- numbers[1]
  parts <- numbers[2]
  rest <- numbers[-(1:2)]
  a <- matrix(rest[1:(rows * parts)], rows, byrow = TRUE)
  b <- rest[rows * parts + 1:rows]
  upper <- rest[rows * parts + rows + 1:parts]
  bounds <- cbind(diag(parts), -diag(parts))
  programme <- function() quadprog::solve.QP(crossprod(a), crossprod(a, b), bounds, c(rep(0, parts), -upper))
  cat(turn(if (has[["nnls"]]) function() nnls::nnls(a, b)), turn(if (has[["quadprog"]]) programme), "\n")
}
