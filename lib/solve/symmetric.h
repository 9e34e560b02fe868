/* Small symmetric matrices, row by row, for the fit of learn.c. Private to this room. */
#ifndef AQ_SOLVE_SYMMETRIC_H
#define AQ_SOLVE_SYMMETRIC_H

#include <stdbool.h>
#include <stddef.h>

/* m = L L': L in the lower triangle of `m`. False: `m` is not positive definite. */
bool aq_cholesky(double *m, size_t n);

/* x = L^-1 x, and the inverse of L L' into `out`, which is not `l`. */
void aq_cholesky_forward(const double *l, size_t n, double *x);
void aq_cholesky_inverse(const double *l, size_t n, double *out);

/* Eigenvalues onto the diagonal of `m`, eigenvectors into the columns of `vectors`, by Jacobi's rotations. */
void aq_eigen(double *m, size_t n, double *vectors);

#endif
