using Reliability.EndToEnd.Running;

namespace Reliability.EndToEnd.Faults.Victims;

/// <summary>A data directory of one test; whatever was in it is gone afterwards.</summary>
internal sealed class OwnFolder : IAsyncDisposable
{
    public string DataDirectory { get; } = TemporaryFolder.Create();

    public ValueTask DisposeAsync()
    {
        Directory.Delete(DataDirectory, recursive: true);
        return ValueTask.CompletedTask;
    }
}
