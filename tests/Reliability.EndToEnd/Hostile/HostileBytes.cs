using System.Buffers.Binary;
using System.Text;

namespace Reliability.EndToEnd.Hostile;

/// <summary>Spoils bytes: flips, cuts, repeats, nests; frames of gRPC that lie about what they hold.</summary>
internal static class HostileBytes
{
    /// <summary>Some bytes of a message changed, or none of it left.</summary>
    public static byte[] Spoil(byte[] good, Random random)
    {
        var bytes = good.ToList();
        for (var n = random.Next(1, 4); n > 0; n--)
        {
            var at = random.Next(bytes.Count + 1);
            switch (random.Next(8))
            {
                case 0 when at < bytes.Count: bytes[at] ^= (byte)(1 << random.Next(8)); break;
                case 1: bytes.RemoveRange(at, bytes.Count - at); break;
                case 2: bytes.InsertRange(at, Noise(random, random.Next(1, 40))); break;
                case 3: bytes.InsertRange(at, [.. bytes.Take(500)]); break;
                case 4: bytes.InsertRange(at, [0xC3, 0x28, 0xED, 0xA0, 0x80, 0xFF]); break;
                case 5: bytes.InsertRange(at, [0x0A, 0xFF, 0xFF, 0xFF, 0xFF, 0x07]); break;
                case 6: bytes.InsertRange(at, Nested(random.Next(50, 3_000))); break;
                default: bytes.AddRange([0xFA, 0xFF, 0xFF, 0xFF, 0x0F, 0x03, 1, 2, 3]); break;
            }
        }

        return [.. bytes];
    }

    /// <summary>A body of gRPC frames around a message: as it should be, or with a length, flag or end that is not so.</summary>
    public static byte[] Frames(byte[] message, Random random) => random.Next(10) switch
    {
        0 => Frame(message, length: uint.MaxValue),
        1 => Frame(message, length: (uint)random.Next(0, (message.Length * 2) + 2)),
        2 => Frame(message, flag: 1),
        3 => Frame(message, flag: (byte)random.Next(2, 256)),
        4 => Frame(message)[..random.Next(0, message.Length + 5)],
        5 => [.. Frame(message), .. Frame(message)],
        6 => Noise(random, random.Next(0, 300)),
        _ => Frame(message),
    };

    public static byte[] Frame(byte[] message, uint? length = null, byte flag = 0)
    {
        var frame = new byte[5 + message.Length];
        frame[0] = flag;
        BinaryPrimitives.WriteUInt32BigEndian(frame.AsSpan(1), length ?? (uint)message.Length);
        message.CopyTo(frame, 5);
        return frame;
    }

    /// <summary>Text of JSON changed: deep, long, twice the same key, numbers and characters that are none.</summary>
    public static byte[] SpoilJson(string good, Random random)
    {
        var text = good;
        for (var n = random.Next(1, 4); n > 0; n--)
        {
            var at = random.Next(text.Length + 1);
            text = random.Next(12) switch
            {
                0 => text[..at],
                1 => text.Insert(at, new string('[', random.Next(1, 20_000))),
                2 => text.Insert(at, string.Concat(Enumerable.Repeat("{\"a\":", random.Next(1, 5_000)))),
                3 => text.Insert(at, "\"" + new string('y', random.Next(1, 200_000)) + "\""),
                4 => text.Insert(at, "\\ud800"),
                5 => text.Replace(":", $":{(random.Next(2) == 0 ? "" : "-")}1e{random.Next(300, 100_000)},\"z\":", StringComparison.Ordinal),
                6 => text.Insert(at, new string('9', random.Next(1, 5_000))),
                7 => text.Length > 2 ? text[..^1] + "," + text[1..] : text,
                8 => text.Insert(at, "\0"),
                9 => text.Replace("\"", "'", StringComparison.Ordinal),
                10 => text.Insert(at, "null"),
                _ => text.Insert(at, ((char)random.Next(32, 0xD7FF)).ToString()),
            };
        }

        var bytes = Encoding.UTF8.GetBytes(text);
        return random.Next(4) == 0 ? Spoil(bytes, random) : bytes;
    }

    public static byte[] Noise(Random random, int length)
    {
        var bytes = new byte[length];
        random.NextBytes(bytes);
        return bytes;
    }

    // A message in a message in a message, each as field 1.
    private static byte[] Nested(int depth)
    {
        List<byte> inner = [];
        for (var i = 0; i < depth; i++)
        {
            List<byte> outer = [0x0A];
            for (var length = (uint)inner.Count; ; length >>= 7)
            {
                outer.Add((byte)(length < 0x80 ? length : (length & 0x7F) | 0x80));
                if (length < 0x80)
                    break;
            }

            inner.InsertRange(0, outer);
        }

        return [.. inner];
    }
}
