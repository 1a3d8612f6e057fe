using System.Text.Json;
using CsCheck;
using Reliability.History.Events;
using Reliability.Store.Readings;
using Xunit;

namespace Reliability.Store.Tests.Readings;

public sealed class SheetTests
{
    private static readonly DateTimeOffset RecordTime = new(2025, 2, 3, 4, 5, 6, 789, TimeSpan.Zero);

    [Fact]
    public void What_goes_into_a_sheet_comes_out_of_it() => GenReading.Event.List[1, 60].Sample(
        posted =>
        {
            Assert.All(posted, reading => Assert.True(ReadingBlock.CanHold(reading)));

            var read = ReadingSheet.Of(posted).Readings(ReliabilityStore.DefaultOrganisation, RecordTime).ToList();

            Assert.Equal(
                posted.OrderBy(reading => reading.ModuleId, StringComparer.Ordinal)
                    .Select(reading => Text(reading with { RecordTime = RecordTime })),
                read.Select(Text));
        },
        iter: 1_000);

    [Fact]
    public void What_is_filed_by_module_is_what_was_in_the_sheets() => GenReading.Event.List[1, 40].List[1, 6].Sample(
        posts =>
        {
            var sheets = posts.Select((posted, n) =>
                new StoredSheet(1000 + (n * n), RecordTime.AddMinutes(-n), ReadingSheet.Of(posted))).ToList();
            var expected = sheets
                .SelectMany(stored => stored.Sheet.Readings(ReliabilityStore.DefaultOrganisation, stored.RecordTime)
                    .Select(reading => (stored.Position, Text(reading))))
                .OrderBy(row => row).ToList();

            var filed = new List<(long Position, string Text)>();
            foreach (var key in sheets.SelectMany(stored => stored.Sheet.Blocks()).GroupBy(block => block.Key))
            {
                var bytes = FiledBytes.Write(new ByteWriter(), sheets.SelectMany(stored => stored.Sheet.Blocks()
                    .Where(block => block.Key == key.Key).Select(block => (stored, block))).ToArray());
                var events = new List<(long Position, RecordedEvent Event)>();
                FiledBytes.Read(bytes, ReliabilityStore.DefaultOrganisation, key.Key, [], events);
                filed.AddRange(events.Select(each => (each.Position, Text(each.Event))));
            }

            Assert.Equal(expected, filed.OrderBy(row => row));
        },
        iter: 200);

    [Fact]
    public void A_sheet_read_twice_counts_once()
    {
        var stored = new StoredSheet(7, RecordTime, ReadingSheet.Of([Scenario.Read("m-1", 20, 400)]));
        var bytes = FiledBytes.Write(new ByteWriter(), [(stored, stored.Sheet.Blocks()[0])]);
        var (seen, events) = (new HashSet<long>(), new List<(long, RecordedEvent)>());

        FiledBytes.Read(bytes, ReliabilityStore.DefaultOrganisation, "m-1", seen, events);
        FiledBytes.Read(bytes, ReliabilityStore.DefaultOrganisation, "m-1", seen, events);

        Assert.Single(events);
    }

    [Fact]
    public void What_a_sheet_cannot_hold_is_told()
    {
        var read = Scenario.Read("m-1", 20, 400);
        Assert.True(ReadingBlock.CanHold(read));

        Assert.False(ReadingBlock.CanHold(read with { Note = "can be erased" }));
        Assert.False(ReadingBlock.CanHold(Scenario.Failed("m-1", 20, 400)));
        Assert.False(ReadingBlock.CanHold(read with { OriginalId = new string('x', 2000) }));
        var local = new DateTimeOffset(2024, 5, 6, 7, 8, 9, TimeSpan.FromHours(2));
        Assert.False(ReadingBlock.CanHold(read with
        {
            Occurrence = read.Occurrence with { Earliest = local, Latest = local },
        }));
    }

    [Fact]
    public void Changed_bytes_end_in_a_clear_exception_and_take_no_more_memory_than_they_are_worth()
    {
        Gen.Select(
            GenReading.Event.List[1, 30],
            Gen.Select(Gen.Int[0, 10_000], Gen.Byte).List[1, 8],
            Gen.Int[0, 10_000]).Sample((posted, changes, length) =>
            {
                var bytes = ReadingSheet.Of(posted).Bytes;
                foreach (var (place, value) in changes) bytes[place % bytes.Length] = value;
                ReadOrRefuse(length % 3 == 0 ? bytes[..(length % bytes.Length)] : bytes);
            },
            iter: 5_000);
    }

    [Fact]
    public void Random_bytes_end_in_a_clear_exception() => Gen.Byte.Array[0, 300].Sample(
        bytes => ReadOrRefuse([1, .. bytes]), iter: 5_000);

    [Theory]
    [InlineData("")]
    [InlineData("00")]
    [InlineData("02")]
    [InlineData("01FFFFFFFFFFFFFFFFFF01")]
    [InlineData("01FFFFFFFF07")]
    [InlineData("0103000000FFFFFFFF0F")]
    [InlineData("010300000001000161FFFFFFFFFFFFFFFF7F")]
    public void Lengths_beyond_the_bytes_are_refused(string hex) => Assert.Throws<InvalidDataException>(
        () => new ReadingSheet(Convert.FromHexString(hex)).Readings("default", RecordTime).ToList());

    private static void ReadOrRefuse(byte[] bytes)
    {
        var before = GC.GetAllocatedBytesForCurrentThread();
        try
        {
            _ = new ReadingSheet(bytes).Readings(ReliabilityStore.DefaultOrganisation, RecordTime).Count();
        }
        catch (InvalidDataException)
        {
            // Refused, as it should be.
        }
        // A text may share all of the one before it: no byte can bring about more than a text of the greatest length.
        var most = 100_000 + (bytes.Length * 4L * ByteReader.LongestText);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, most);
    }

    private static string Text(RecordedEvent recorded) =>
        JsonSerializer.Serialize(recorded, HistoryJsonContext.Default.RecordedEvent);
}
