using Google.Protobuf;
using Microsoft.Extensions.Caching.Memory;

namespace Reliability.Service.Lives;

/// <summary>
/// Samples of cohorts, and what was made of them, for questions of lives that have not changed. An entry is found only by the
/// organisation, the whole question and the mark that the organisation's lives bore before they were read
/// (<see cref="Store.Lives.LifeQueries.VersionAsync"/>). What is used least goes when there is too much.
/// </summary>
internal sealed class LivesMemory : IDisposable
{
    /// <summary>Most bytes that it holds, about.</summary>
    public const long MostBytes = 128 * 1024 * 1024;

    private static readonly TimeSpan Unused = TimeSpan.FromMinutes(30);

    private readonly MemoryCache _entries;

    public LivesMemory()
        : this(MostBytes)
    {
    }

    public LivesMemory(long mostBytes) => _entries = new(new MemoryCacheOptions { SizeLimit = mostBytes });

    /// <summary>What was made of a cohort's lives; null when nothing was, or of other lives.</summary>
    /// <param name="key">The organisation and the question.</param>
    /// <param name="version">The mark of the lives as they are.</param>
    public T? Find<T>(LivesKey key, Guid version)
        where T : class =>
        _entries.TryGetValue(key, out Entry? entry) && entry!.Version == version ? entry.Value as T : null;

    /// <summary>Keeps what was made of a cohort's lives, in the place of what was made of earlier ones.</summary>
    /// <param name="key">The organisation and the question.</param>
    /// <param name="version">The mark that the lives bore before they were read.</param>
    /// <param name="value">What was made of them; nobody changes it any more.</param>
    /// <param name="bytes">Its size, about.</param>
    public void Keep(LivesKey key, Guid version, object value, long bytes)
    {
        using var entry = _entries.CreateEntry(key);
        entry.Value = new Entry(version, value);
        entry.Size = bytes;
        entry.SlidingExpiration = Unused;
    }

    public void Dispose() => _entries.Dispose();

    private sealed record Entry(Guid Version, object Value);
}

/// <summary>What an entry answers.</summary>
/// <param name="Organisation">Whose lives.</param>
/// <param name="Cohort">Which of them, names of aliases replaced by primary ones.</param>
/// <param name="Question">What was asked of them, without the cohort; null for the sample itself.</param>
internal sealed record LivesKey(string Organisation, V1.Cohort Cohort, IMessage? Question);
