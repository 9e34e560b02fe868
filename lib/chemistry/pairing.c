/* Newton's method on the logarithms of at most four free anions.
 *
 * Putting m_i(a) into the balances of the anions leaves a_j = A_j / (d_j + sum b_ij m_i(a)). That map never
 * decreases, so from a_j = A_j / d_j, where nothing is paired, plain iteration falls to the answer; it stands in
 * for a Newton step that made things worse. The matrix is the identity less a nonnegative one with row sums below
 * 1, so it needs no pivots. */
#include "chemistry/pairing.h"

#include <math.h>

static void free_cations(aq_pairing *p)
{
    for (size_t i = 0; i < p->cations; i++) {
        double sum = p->alone[i];

        for (int j = 0; j < AQ_PAIRED; j++)
            sum += p->b[i][j] * p->free_anion[j];
        p->free[i] = p->total[i] / sum;
    }
}

static double counted(const aq_pairing *p, size_t i, int j)
{
    return j == AQ_PAIRED_CARBONATE ? p->counted[i] : p->b[i][j];
}

/* One anion: the logarithm of what it adds up to over its total, and its derivatives by the logarithms of all. */
static double residual(const aq_pairing *p, int j, double row[AQ_PAIRED])
{
    double sum = j == AQ_PAIRED_CARBONATE ? p->counted_alone : p->alone_anion[j];

    for (int k = 0; k < AQ_PAIRED; k++)
        row[k] = k == j;
    if (!p->unknown[j])
        return 0;
    for (size_t i = 0; i < p->cations; i++)
        sum += counted(p, i, j) * p->free[i];
    for (size_t i = 0; i < p->cations; i++) {
        double share = counted(p, i, j) * p->free[i] / sum * (p->free[i] / p->total[i]);
        for (int k = 0; share > 0 && k < AQ_PAIRED; k++)
            if (p->unknown[k])
                row[k] -= share * p->b[i][k] * p->free_anion[k];
    }
    return log(p->free_anion[j] * sum / p->total_anion[j]);
}

static bool solve(double matrix[AQ_PAIRED][AQ_PAIRED], double r[AQ_PAIRED])
{
    for (int k = 0; k < AQ_PAIRED; k++) {
        if (!(matrix[k][k] > 1e-9))
            return false;
        for (int i = k + 1; i < AQ_PAIRED; i++) {
            double f = matrix[i][k] / matrix[k][k];
            for (int j = k; j < AQ_PAIRED; j++)
                matrix[i][j] -= f * matrix[k][j];
            r[i] -= f * r[k];
        }
    }
    for (int k = AQ_PAIRED - 1; k >= 0; k--) {
        for (int j = k + 1; j < AQ_PAIRED; j++)
            r[k] -= matrix[k][j] * r[j];
        r[k] /= matrix[k][k];
    }
    return true;
}

static void begin(aq_pairing *p, bool warm)
{
    for (int j = 0; j < AQ_PAIRED; j++)
        if (p->unknown[j] && !(warm && p->free_anion[j] > 0))
            p->free_anion[j] =
                p->total_anion[j] / (j == AQ_PAIRED_CARBONATE ? p->counted_alone : p->alone_anion[j]);
}

bool aq_pairing_solve(aq_pairing *p, bool warm)
{
    double last = INFINITY;
    bool last_turn = false;

    begin(p, warm);
    for (int turn = 0; turn < 400; turn++) {
        double matrix[AQ_PAIRED][AQ_PAIRED], r[AQ_PAIRED], plain[AQ_PAIRED], worst = 0;

        free_cations(p);
        if (last_turn)
            return true;
        for (int j = 0; j < AQ_PAIRED; j++) {
            plain[j] = r[j] = residual(p, j, matrix[j]);
            worst = fmax(worst, fabs(r[j]));
        }
        if (worst < 1e-12)
            return true;
        bool newton = worst < last && solve(matrix, r);
        for (int j = 0; j < AQ_PAIRED; j++)
            if (p->unknown[j])
                p->free_anion[j] *= exp(-fmin(fmax(newton ? r[j] : plain[j], -3), 3));
        last_turn = newton && worst < 1e-7; /* the step squares what is missed */
        last = newton ? worst : INFINITY;
    }
    return false;
}
