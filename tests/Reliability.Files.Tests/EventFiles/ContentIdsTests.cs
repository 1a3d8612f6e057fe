using CsCheck;
using Reliability.Files.EventFiles;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

public sealed class ContentIdsTests
{
    private static readonly Dictionary<string, string> Row = new() { ["outcome"] = "failed", ["age_at_end"] = "812.5", ["serial_number"] = "QX-1042" };

    /// <summary>RFC 9562, appendix A.4: the version 5 UUID of "www.example.com" in the name space of domain names.</summary>
    [Fact]
    public void A_named_uuid_is_that_of_the_standard()
    {
        Guid names = new("6ba7b810-9dad-11d1-80b4-00c04fd430c8");
        Assert.Equal(new Guid("2ed6657d-e927-568b-95e1-2665a8aea6a2"), ContentIds.Named(names, "www.example.com"));
    }

    /// <summary>Ids given out once must stay: files posted years apart meet by them. Worked out apart, with Python's uuid5.</summary>
    [Fact]
    public void The_id_of_a_row_stays_the_same_for_ever()
    {
        Assert.Equal("cf325819-fefb-5a29-9290-d9fc20744b8f", new ContentIds().Next("life", Row));
    }

    [Fact]
    public void Identical_rows_are_told_apart_by_their_number()
    {
        ContentIds first = new();
        string[] ids = [first.Next("life", Row), first.Next("life", Row), first.Next("life", Row)];
        ContentIds second = new();
        Assert.Equal(3, ids.Distinct().Count());
        string[] again = [second.Next("life", Row), second.Next("life", Row), second.Next("life", Row)];
        Assert.Equal(ids, again);
        Assert.NotEqual(ids[0], new ContentIds().Next("event", Row));
    }

    [Fact]
    public void The_order_of_columns_does_not_matter_and_every_value_does()
    {
        Gen.Dictionary(Gen.String[Gen.Char['a', 'z'], 1, 5], Gen.String[Gen.Char["ab:1\n"], 0, 4])[1, 5].Sample(row =>
        {
            string id = new ContentIds().Next("life", row);
            Assert.Equal(id, new ContentIds().Next("life", row.Reverse()));
            foreach (string column in row.Keys)
            {
                Dictionary<string, string> other = new(row) { [column] = row[column] + "x" };
                Assert.NotEqual(id, new ContentIds().Next("life", other));
            }
        }, seed: "0000KN3IYwPe", iter: 200);
    }

    [Fact]
    public void Values_cannot_be_moved_between_columns_unseen()
    {
        string one = new ContentIds().Next("life", new Dictionary<string, string> { ["a"] = "1\nb:1:2" });
        string two = new ContentIds().Next("life", new Dictionary<string, string> { ["a"] = "1", ["b"] = "2" });
        Assert.NotEqual(one, two);
    }
}
