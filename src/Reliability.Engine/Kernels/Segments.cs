namespace Reliability.Engine.Kernels;

/// <summary>
/// How a large sample is parted: into blocks of a fixed number of rows, and these into at most 64 segments of neighbouring blocks. A
/// segment is summed from its first block to its last, and the segments from the first to the last, whichever thread did which: the
/// same sample has the same sums on any number of threads.
/// </summary>
internal static class Segments
{
    /// <summary>Rows of a block: what a thread holds on the log time axis at once.</summary>
    public const int Block = 2048;

    /// <summary>From this many rows on other threads are worth waking.</summary>
    private const int RowsForThreads = 32 * Block;

    private const int Most = 64;

    /// <summary>As many threads as the pool gives.</summary>
    private const int Unlimited = -1;

    /// <summary>Most threads that work on one sample; null for as many as there are processors.</summary>
    internal static int? Threads { get; set; }

    /// <summary>Sums what the blocks of a sample give.</summary>
    /// <typeparam name="TSum">A sum.</typeparam>
    /// <param name="rows">Rows of the sample.</param>
    /// <param name="add">Adds the rows from the second to the third argument to a sum.</param>
    /// <param name="join">Adds the second sum to the first.</param>
    /// <param name="cancellationToken">Looked at before each block.</param>
    public static TSum Sum<TSum>(int rows, Adding<TSum> add, Joining<TSum> join, CancellationToken cancellationToken)
        where TSum : struct
    {
        var blocks = (rows + Block - 1) / Block;
        var count = Math.Min(blocks, Most);
        var sums = new TSum[count];
        if (rows < RowsForThreads || Threads == 1)
        {
            for (var segment = 0; segment < count; segment++)
                One(segment);
        }
        else
        {
            var options = new ParallelOptions
            {
                MaxDegreeOfParallelism = Threads ?? Unlimited,
                CancellationToken = cancellationToken,
            };
            Parallel.For(0, count, options, One);
        }

        var total = new TSum();
        foreach (ref readonly var sum in sums.AsSpan())
            join(ref total, in sum);
        return total;

        void One(int segment)
        {
            var end = (segment + 1) * blocks / count;
            for (var block = segment * blocks / count; block < end; block++)
            {
                cancellationToken.ThrowIfCancellationRequested();
                add(ref sums[segment], block * Block, Math.Min(rows, (block + 1) * Block));
            }
        }
    }

    /// <summary>Adds the rows from one to another to a sum.</summary>
    public delegate void Adding<TSum>(ref TSum sum, int from, int end);

    /// <summary>Adds one sum to another.</summary>
    public delegate void Joining<TSum>(ref TSum total, in TSum sum);
}
