using JasperFx.Events;

namespace Reliability.Store.Readings;

/// <summary>Takes sheets to and from the log as they are.</summary>
internal sealed class ReadingSheetSerializer : IEventBinarySerializer
{
    public byte[] Serialize(Type type, object data) => ((ReadingSheet)data).Bytes;

    public object Deserialize(Type type, byte[] data) => new ReadingSheet(data);
}
