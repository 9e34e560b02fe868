/* Cholesky's factor and Jacobi's eigenvalues, after G. H. Golub and C. F. Van Loan, Matrix Computations, 4th ed. 2013,
 * algorithms 4.2.1 and 8.5.2. Unknowns are a few dozen, so plain loops do. */
#include "solve/symmetric.h"

#include <math.h>

bool aq_cholesky(double *m, size_t n)
{
    for (size_t j = 0; j < n; j++) {
        double left = m[j * n + j];

        for (size_t k = 0; k < j; k++)
            left -= m[j * n + k] * m[j * n + k];
        if (!(left > 0))
            return false;
        m[j * n + j] = sqrt(left);
        for (size_t i = j + 1; i < n; i++) {
            double sum = m[i * n + j];

            for (size_t k = 0; k < j; k++)
                sum -= m[i * n + k] * m[j * n + k];
            m[i * n + j] = sum / m[j * n + j];
        }
    }
    return true;
}

void aq_cholesky_forward(const double *l, size_t n, double *x)
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++)
            x[i] -= l[i * n + k] * x[k];
        x[i] /= l[i * n + i];
    }
}

static void backward(const double *l, size_t n, double *x)
{
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            x[i] -= l[k * n + i] * x[k];
        x[i] /= l[i * n + i];
    }
}

/* A row at a time, for the inverse is symmetric too. */
void aq_cholesky_inverse(const double *l, size_t n, double *out)
{
    for (size_t i = 0; i < n; i++) {
        double *row = out + i * n;

        for (size_t j = 0; j < n; j++)
            row[j] = i == j;
        aq_cholesky_forward(l, n, row);
        backward(l, n, row);
    }
}

/* Turns rows and columns p and q so that m[p][q] becomes 0. */
static void rotate(double *m, size_t n, double *vectors, size_t p, size_t q)
{
    double tau = (m[q * n + q] - m[p * n + p]) / (2 * m[p * n + q]);
    double t = (tau < 0 ? -1 : 1) / (fabs(tau) + sqrt(1 + tau * tau));
    double c = 1 / sqrt(1 + t * t), s = t * c;

    for (size_t k = 0; k < n; k++) {
        double a = m[k * n + p], b = m[k * n + q], v = vectors[k * n + p], w = vectors[k * n + q];

        m[k * n + p] = c * a - s * b;
        m[k * n + q] = s * a + c * b;
        vectors[k * n + p] = c * v - s * w;
        vectors[k * n + q] = s * v + c * w;
    }
    for (size_t k = 0; k < n; k++) {
        double a = m[p * n + k], b = m[q * n + k];

        m[p * n + k] = c * a - s * b;
        m[q * n + k] = s * a + c * b;
    }
}

void aq_eigen(double *m, size_t n, double *vectors)
{
    enum { SWEEPS = 30 };
    bool turned = true;

    for (size_t i = 0; i < n * n; i++)
        vectors[i] = i % (n + 1) == 0;
    for (int sweep = 0; turned && sweep < SWEEPS; sweep++) {
        turned = false;
        for (size_t p = 0; p < n; p++)
            for (size_t q = p + 1; q < n; q++) {
                double size = fabs(m[p * n + p]) + fabs(m[q * n + q]);

                if (fabs(m[p * n + q]) <= 1e-14 * size)
                    continue;
                rotate(m, n, vectors, p, q);
                turned = true;
            }
    }
}
