using System.Collections;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Reliability.V1;

namespace Reliability.EndToEnd.Hostile;

/// <summary>Messages of any type filled with what nobody should send, and some of what somebody would.</summary>
internal static class HostileMessage
{
    private const int Deepest = 5;

    private static readonly double[] Doubles =
        [0, 1, 100, 1e-320, -1, 1e308, double.NaN, double.PositiveInfinity, double.NegativeInfinity, double.Epsilon, 0.5];

    private static readonly long[] Longs = [0, 1, -1, 42, 1_700_000_000, long.MaxValue, long.MinValue, 253_402_300_800, -62_135_596_801];

    private static readonly string[] Strings =
    [
        "", "a", "modules/h-1", "moduleModels/blower", "serial:A-1", "weibull", "quennick", "Europe/Paris", "state = IN_SERVICE",
        "'; drop table x; --", "../../etc/passwd", "\0", "\u202e\ufffe\uffff", new('x', 5_000), "modules/", "{{7*7}}", "%00", "null",
    ];

    public static IMessage Of(MessageDescriptor type, Random random, int depth = 0)
    {
        // Among the hostile ones some that are taken, so that what is on record can be held against the receipts.
        if (depth == 0 && type == RecordEventsRequest.Descriptor && random.Next(2) == 0)
            return new RecordEventsRequest { Events = { Sound(random) } };
        if (depth == 0 && type == StreamEventsRequest.Descriptor && random.Next(2) == 0)
            return new StreamEventsRequest { Events = { Sound(random) } };

        var message = type.Parser.ParseFrom(ByteString.Empty);
        foreach (var field in type.Fields.InFieldNumberOrder())
        {
            if (random.NextDouble() > 0.6 || (field.FieldType == FieldType.Message && depth == Deepest))
                continue;
            if (field.IsMap)
                continue;
            if (!field.IsRepeated)
            {
                field.Accessor.SetValue(message, Value(field, random, depth));
                continue;
            }

            var list = (IList)field.Accessor.GetValue(message);
            for (var n = random.Next(4); n > 0; n--)
                list.Add(Value(field, random, depth));
        }

        return message;
    }

    private static IEnumerable<ModuleEvent> Sound(Random random)
    {
        for (var n = random.Next(1, 6); n > 0; n--)
        {
            var told = new ModuleEvent
            {
                EventId = $"sound-{random.Next()}",
                Source = "quennick",
                Module = $"modules/h-{random.Next(3)}",
                OccurTime = new() { Seconds = 1_700_000_000 + random.Next(10_000_000) },
            };
            switch (random.Next(4))
            {
                case 0: told.Registered = new() { ModuleModel = "moduleModels/blower", AgeHours = 0 }; break;
                case 1: told.Installed = new() { HostDevice = "vent-3", Meter = Meter.Host, ReadingHours = random.Next(1_000) }; break;
                case 2: told.Failed = new() { ReadingHours = random.Next(1_000) }; break;
                default: told.RunHoursRead = new() { Readings = { new MeterReading { Hours = random.Next(1_000) } } }; break;
            }

            yield return told;
        }
    }

    private static object Value(FieldDescriptor field, Random random, int depth) => field.FieldType switch
    {
        FieldType.Double => Pick(Doubles, random),
        FieldType.Float => (float)Pick(Doubles, random),
        FieldType.Int32 or FieldType.SInt32 or FieldType.SFixed32 => unchecked((int)Pick(Longs, random)),
        FieldType.UInt32 or FieldType.Fixed32 => unchecked((uint)Pick(Longs, random)),
        FieldType.Int64 or FieldType.SInt64 or FieldType.SFixed64 => Pick(Longs, random),
        FieldType.UInt64 or FieldType.Fixed64 => unchecked((ulong)Pick(Longs, random)),
        FieldType.Bool => random.Next(2) == 0,
        FieldType.String => field.Name == "event_id" ? $"hostile-{random.Next()}" : Pick(Strings, random),
        FieldType.Bytes => ByteString.CopyFrom(new byte[random.Next(50)]),
        FieldType.Enum => Enum.ToObject(field.EnumType.ClrType, random.Next(5) == 0 ? unchecked((int)Pick(Longs, random)) : random.Next(5)),
        FieldType.Message => Of(field.MessageType, random, depth + 1),
        _ => throw new NotSupportedException($"{field.FieldType}"),
    };

    private static T Pick<T>(T[] from, Random random) => from[random.Next(from.Length)];
}
