# Quadratic programmes by solve.QP of quadprog, one a line: parts, constraints, equalities among them (first); then the
# Hessian, the linear term, the constraints' rows, what each row must be at least. Writes x, one line each; NA where
# solve.QP gives up, as it does over an equality of given parts alone.
if (!requireNamespace("quadprog", quietly = TRUE)) quit(status = 77)
input <- file("stdin", "r")
while (length(line <- readLines(input, n = 1)) > 0) {
  numbers <- as.numeric(strsplit(line, " ")[[1]])
  n <- numbers[1]
  m <- numbers[2]
  take <- function(count) {
    taken <- numbers[at + seq_len(count)]
    at <<- at + count
    taken
  }
  at <- 3
  hessian <- matrix(take(n * n), n)
  linear <- take(n)
  rows <- matrix(take(n * m), n)
  least <- take(m)
  if (m == 0) {
    x <- solve(hessian, linear)
  } else {
    x <- tryCatch(quadprog::solve.QP(hessian, linear, rows, least, meq = numbers[3])$solution,
                  error = function(e) rep(NA, n))
  }
  cat(ifelse(is.na(x), "nan", formatC(x, digits = 17, format = "g")), "\n")
}
