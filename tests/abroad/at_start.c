/* Linked in front of the program, so that it runs in the locale of its environment, as a program that uses the library
 * may. The program itself never asks for one. */
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

static void __attribute__((constructor)) enter(void)
{
    if (!setlocale(LC_ALL, ""))
        exit(99);
    if (getenv("SHOW_DECIMAL_POINT")) {
        printf("%.1f\n", 0.5);
        exit(0);
    }
}
