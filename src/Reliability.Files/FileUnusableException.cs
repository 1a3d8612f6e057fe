namespace Reliability.Files;

/// <summary>
/// A file, or the mapping that should read it, cannot be used as a whole. The message says what is wrong and where, for
/// people; it holds no more of the file than column names and a few quoted words.
/// </summary>
public sealed class FileUnusableException : Exception
{
    /// <summary>Tells of a file.</summary>
    /// <param name="file">The file, as its user calls it.</param>
    /// <param name="problems">What is wrong, at least one thing.</param>
    public FileUnusableException(string file, params IReadOnlyList<FileProblem> problems)
        : base(string.Join('\n', problems.Select(problem => $"{file}: {problem}")))
    {
        File = file;
        Problems = problems;
    }

    /// <summary>The file.</summary>
    public string File { get; }

    /// <summary>What is wrong.</summary>
    public IReadOnlyList<FileProblem> Problems { get; }
}
