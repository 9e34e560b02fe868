/* A program that does nothing: what every program costs to start. */
int main(void)
{
    return 0;
}
