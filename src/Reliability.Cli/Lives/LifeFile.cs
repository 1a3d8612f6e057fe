using Grpc.Core;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Lives;

/// <summary>Exported lives in a file.</summary>
internal static class LifeFile
{
    /// <summary>Saves an export. The file is there once it is whole; one of that name is replaced then.</summary>
    /// <exception cref="UsageException">The file cannot be written.</exception>
    public static async Task SaveAsync(
        ServiceConnection connection, ExportLivesRequest request, string path, CancellationToken cancellation)
    {
        string unfinished = path + ".part";
        try
        {
            try
            {
                FileStream file = new(unfinished, FileMode.Create, FileAccess.Write);
                await using (file.ConfigureAwait(false))
                {
                    using AsyncServerStreamingCall<Google.Api.HttpBody> call = connection.History.ExportLives(request, cancellationToken: cancellation);
                    while (await call.ResponseStream.MoveNext(cancellation).ConfigureAwait(false))
                        await file.WriteAsync(call.ResponseStream.Current.Data.Memory, cancellation).ConfigureAwait(false);
                }
                File.Move(unfinished, path, overwrite: true);
            }
            finally
            {
                File.Delete(unfinished);
            }
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"{path}: the file cannot be written ({failure.Message}).");
        }
    }
}
