namespace Reliability.Files.Tests.Lines;

/// <summary>Bytes that come a few at a time, as from a network.</summary>
internal sealed class DrippingStream(byte[] content, int step) : MemoryStream(content)
{
    public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) =>
        base.ReadAsync(buffer[..Math.Min(step, buffer.Length)], cancellationToken);
}
