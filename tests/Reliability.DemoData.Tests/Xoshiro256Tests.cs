using Reliability.DemoData.Randomness;

namespace Reliability.DemoData.Tests;

public sealed class Xoshiro256Tests
{
    // The authors' C program xoshiro256starstar.c started from the state 1, 2, 3, 4 prints these (values from memory of
    // the reference vectors that ports of it are tested with).
    [Fact]
    public void The_first_numbers_are_those_of_the_reference_program()
    {
        var random = new Xoshiro256(1, 2, 3, 4);

        ulong[] first = [.. Enumerable.Range(0, 10).Select(_ => random.NextBits())];

        Assert.Equal(
            [
                11520UL, 0UL, 1509978240UL, 1215971899390074240UL, 1216172134540287360UL, 607988272756665600UL,
                16172922978634559625UL, 8476171486693032832UL, 10595114339597558777UL, 2904607092377533576UL,
            ],
            first);
    }

    // splitmix64.c started from 1234567 (reference vector from memory).
    [Fact]
    public void Seeds_are_spread_as_by_the_reference_program()
    {
        var state = 1234567UL;

        ulong[] first = [.. Enumerable.Range(0, 5).Select(_ => Xoshiro256.SplitMix64(ref state))];

        Assert.Equal(
            [
                6457827717110365317UL, 3203168211198807973UL, 9817491932198370423UL, 4593380528125082431UL,
                16408922859458223821UL,
            ],
            first);
    }

    [Fact]
    public void Subjects_of_one_seed_have_streams_of_their_own()
    {
        var here = Xoshiro256.For(1, "here");
        var again = Xoshiro256.For(1, "here");
        var there = Xoshiro256.For(1, "there");

        var first = here.NextBits();

        Assert.Equal(first, again.NextBits());
        Assert.NotEqual(first, there.NextBits());
    }

    [Fact]
    public void A_state_of_zeros_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new Xoshiro256(0, 0, 0, 0));
}
